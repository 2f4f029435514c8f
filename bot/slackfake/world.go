package slackfake

import (
	"slices"
	"strings"
)

// The workspace of the Larkmoor Wheelers, who do not exist.
const (
	TeamID     = "T0LARKMOOR"
	TeamName   = "Larkmoor Wheelers"
	TeamDomain = "larkmoor-wheelers"
	AppID      = "A0SPOKE"
	BotID      = "B0SPOKE"
	BotUser    = "U0SPOKE" // the bot as a person; what people mention
	BotName    = "spokeword"
)

// People and channels that every workspace has from the start.
const (
	Wren  = "U0WREN"  // rides; English, metric
	Moss  = "U0MOSS"  // keeps the workshop; American English
	Heath = "U0HEATH" // rides; German

	General   = "C0GENERAL"   // the bot is a member
	Workshop  = "C0WORKSHOP"  // the bot is a member
	Outside   = "C0OUTSIDE"   // public, the bot is no member
	Committee = "C0COMMITTEE" // private, the bot is no member
)

// User is someone in the workspace.
type User struct {
	ID, Name, RealName string
	Locale             string // as en-GB
	TZ                 string // as Europe/London
	TZOffset           int    // seconds east of Greenwich
}

// Channel is a place to talk: a channel, or two who talk directly.
type Channel struct {
	ID, Name string
	Private  bool
	Member   bool   // whether the bot is one
	With     string // the other person's id where the bot and they talk directly
}

type world struct {
	users    map[string]User
	channels map[string]Channel
	direct   map[string]string // user → the channel where they and the bot talk
	triggers *fifo[string, trigger]
	returns  *fifo[string, *returning] // response URLs by their last part
}

func newWorld(keep int) world {
	w := world{users: make(map[string]User), channels: make(map[string]Channel), direct: make(map[string]string),
		triggers: newFIFO[string, trigger](2 * keep), returns: newFIFO[string, *returning](2 * keep)}
	for _, u := range []User{
		{ID: Wren, Name: "wren", RealName: "Wren", Locale: "en-GB", TZ: "Europe/London"},
		{ID: Moss, Name: "moss", RealName: "Moss", Locale: "en-US", TZ: "America/Denver", TZOffset: -7 * 3600},
		{ID: Heath, Name: "heath", RealName: "Heath", Locale: "de-DE", TZ: "Europe/Berlin", TZOffset: 3600},
		{ID: BotUser, Name: BotName, RealName: "Spokeword", Locale: "en-GB", TZ: "Europe/London"},
	} {
		w.addUser(u)
	}
	for _, c := range []Channel{
		{ID: General, Name: "general", Member: true},
		{ID: Workshop, Name: "workshop", Member: true},
		{ID: Outside, Name: "outside"},
		{ID: Committee, Name: "committee", Private: true},
	} {
		w.channels[c.ID] = c
	}
	return w
}

func (w *world) addUser(u User) {
	w.users[u.ID] = u
	if u.ID != BotUser && w.direct[u.ID] == "" {
		c := Channel{ID: "D" + u.ID[1:], Name: "directmessage", Member: true, With: u.ID}
		w.channels[c.ID], w.direct[u.ID] = c, c.ID
	}
}

// AddUser adds a person, with a channel to talk to the bot directly, or changes one.
// The id starts with U.
func (s *Server) AddUser(u User) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.addUser(u)
}

// AddChannel adds a channel or changes one. The id starts with C.
func (s *Server) AddChannel(c Channel) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.channels[c.ID] = c
}

// Users returns all people, the bot included, by id.
func (s *Server) Users() []User {
	s.mu.Lock()
	defer s.mu.Unlock()
	var out []User
	for _, u := range s.users {
		out = append(out, u)
	}
	slices.SortFunc(out, func(a, b User) int { return strings.Compare(a.ID, b.ID) })
	return out
}

// Channels returns all channels, direct ones included, by id.
func (s *Server) Channels() []Channel {
	s.mu.Lock()
	defer s.mu.Unlock()
	var out []Channel
	for _, c := range s.channels {
		out = append(out, c)
	}
	slices.SortFunc(out, func(a, b Channel) int { return strings.Compare(a.ID, b.ID) })
	return out
}

// Direct returns the channel where a person and the bot talk directly, or "".
func (s *Server) Direct(user string) string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.direct[user]
}
