package sql

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"spokeword/calc/quantity"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
	"spokeword/commands/talk"
)

// Talks is a talk.Store in memory whose changes are written in the background,
// at the next tick. An answer never waits for the database; a crash may cost
// the talk since the last tick.
type Talks struct {
	memory *talk.Memory
	expiry time.Duration
	most   int

	mu      sync.Mutex
	changed map[talk.Key]bool
}

var _ talk.Store = (*Talks)(nil)

func newTalks(o Options) *Talks {
	return &Talks{
		memory: talk.NewMemoryWithin(o.Now, o.Expiry, o.Most),
		expiry: o.Expiry, most: o.Most,
		changed: make(map[talk.Key]bool),
	}
}

// Talks returns the store of talks.
func (s *Store) Talks() *Talks { return s.talks }

// Get returns the state of a talk, as talk.Memory does. Of an answer that was
// given before a restart only what Recalled says is there.
func (t *Talks) Get(k talk.Key) talk.State { return t.memory.Get(k) }

// Put remembers the state of a talk.
func (t *Talks) Put(k talk.Key, s talk.State) {
	t.memory.Put(k, s)
	t.mu.Lock()
	defer t.mu.Unlock()
	t.changed[k] = true
}

// Len returns how many talks are kept.
func (t *Talks) Len() int { return t.memory.Len() }

// take returns the keys of the talks that changed since the last call.
func (t *Talks) take() []talk.Key {
	t.mu.Lock()
	defer t.mu.Unlock()
	keys := make([]talk.Key, 0, len(t.changed))
	for k := range t.changed {
		keys = append(keys, k)
	}
	clear(t.changed)
	return keys
}

// untake puts back keys whose talks could not be written.
func (t *Talks) untake(keys []talk.Key) {
	for _, k := range keys {
		if t.memory.Get(k).At.IsZero() {
			continue // gone meanwhile, so this can't grow for ever
		}
		t.mu.Lock()
		t.changed[k] = true
		t.mu.Unlock()
	}
}

// What is written of a question and of an answer. The names are those in the
// database: a field of package reply may be renamed, these may not.
type (
	asking struct {
		Option  string   `json:"option"`
		Text    string   `json:"text"`
		Choices []choice `json:"choices,omitempty"`
	}
	choice struct {
		Label string `json:"label"`
		Line  string `json:"line"`
	}
	answer struct {
		Line    string `json:"line"`
		Read    []item `json:"read,omitempty"`
		Assumed []item `json:"assumed,omitempty"`
		Private bool   `json:"private,omitempty"`
	}
	item struct {
		Option   string `json:"option"`
		Value    string `json:"value"`
		Why      string `json:"why,omitempty"`
		Personal bool   `json:"personal,omitempty"`
	}
)

// written is a value as JSON, NULL if there is none.
func written(v any) (sql.NullString, error) {
	text, err := json.Marshal(v)
	return sql.NullString{String: string(text), Valid: true}, err
}

func writtenAsk(a *reply.Ask) (sql.NullString, error) {
	if a == nil {
		return sql.NullString{}, nil
	}
	w := asking{Option: a.Option, Text: a.Text}
	for _, c := range a.Choices {
		w.Choices = append(w.Choices, choice(c))
	}
	return written(w)
}

func writtenAnswer(r *reply.Reply) (sql.NullString, error) {
	if r == nil {
		return sql.NullString{}, nil
	}
	w := answer{Line: r.Line, Private: r.Private}
	for _, i := range r.Read {
		w.Read = append(w.Read, item{Option: i.Option, Value: i.Value, Why: i.Why, Personal: i.Personal})
	}
	for _, i := range r.Assumed {
		w.Assumed = append(w.Assumed, item{Option: i.Option, Value: i.Value, Why: i.Why, Personal: i.Personal})
	}
	return written(w)
}

// writtenUnits writes units by their symbols, NULL if there is none.
func writtenUnits(units spec.Units) (sql.NullString, error) {
	var symbols []string
	for _, u := range units {
		if u != quantity.NoUnit {
			symbols = append(symbols, u.String())
		}
	}
	if len(symbols) == 0 {
		return sql.NullString{}, nil
	}
	return written(symbols)
}

// readUnits reads units by their symbols. One that this version doesn't know is
// left out.
func readUnits(text sql.NullString) (units spec.Units, err error) {
	if !text.Valid {
		return units, nil
	}
	var symbols []string
	if err := json.Unmarshal([]byte(text.String), &symbols); err != nil {
		return units, err
	}
	for _, s := range symbols {
		if u, ok := quantity.UnitNamed(strings.ToLower(s)); ok {
			units[u.Kind()] = u
		}
	}
	return units, nil
}

func readAsk(text sql.NullString) (*reply.Ask, error) {
	if !text.Valid {
		return nil, nil
	}
	var w asking
	if err := json.Unmarshal([]byte(text.String), &w); err != nil {
		return nil, err
	}
	a := &reply.Ask{Option: w.Option, Text: w.Text}
	for _, c := range w.Choices {
		a.Choices = append(a.Choices, reply.Action(c))
	}
	return a, nil
}

func readAnswer(text sql.NullString) (*reply.Reply, error) {
	if !text.Valid {
		return nil, nil
	}
	var w answer
	if err := json.Unmarshal([]byte(text.String), &w); err != nil {
		return nil, err
	}
	r := &reply.Reply{Line: w.Line, Private: w.Private, Recalled: true}
	for _, i := range w.Read {
		r.Read = append(r.Read, reply.Item{Option: i.Option, Value: i.Value, Why: i.Why, Personal: i.Personal})
	}
	for _, i := range w.Assumed {
		r.Assumed = append(r.Assumed, reply.Item{Option: i.Option, Value: i.Value, Why: i.Why, Personal: i.Personal})
	}
	return r, nil
}

// flushBite is how many talks are written in one transaction.
const flushBite = 256

// flush writes the talks that changed. What can't be written is kept for the
// next time.
func (s *Store) flush() error {
	keys := s.talks.take()
	for len(keys) > 0 {
		n := min(flushBite, len(keys))
		if err := s.writeTalks(keys[:n]); err != nil {
			s.talks.untake(keys)
			return err
		}
		keys = keys[n:]
		s.yield()
	}
	return nil
}

func (s *Store) writeTalks(keys []talk.Key) error {
	ctx := context.Background()
	tx, err := s.writer.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	put, err := tx.PrepareContext(ctx, `insert into talk (workspace, channel, person, base, asking, pending, last, offers, shown, at) values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
		on conflict (workspace, channel, person) do update
		set base = excluded.base, asking = excluded.asking, pending = excluded.pending, last = excluded.last, offers = excluded.offers, shown = excluded.shown, at = excluded.at`)
	if err != nil {
		return err
	}
	defer put.Close()
	for _, k := range keys {
		state := s.talks.memory.Get(k)
		if state.At.IsZero() {
			continue // expired or pushed out meanwhile: sweep deletes what was written
		}
		if state.Base == "" && state.Asking == nil && state.Pending == "" && state.Last == nil && len(state.Offers) == 0 {
			if _, err := tx.ExecContext(ctx, `delete from talk where workspace = ? and channel = ? and person = ?`, k.Workspace, k.Channel, k.User); err != nil {
				return err
			}
			continue
		}
		ask, err := writtenAsk(state.Asking)
		if err != nil {
			return err
		}
		last, err := writtenAnswer(state.Last)
		if err != nil {
			return err
		}
		offers, err := written(state.Offers)
		if err != nil {
			return err
		}
		shown, err := writtenUnits(state.Shown)
		if err != nil {
			return err
		}
		if _, err := put.ExecContext(ctx, k.Workspace, k.Channel, k.User, state.Base, ask, state.Pending, last, offers, shown, state.At.UnixMilli()); err != nil {
			return err
		}
	}
	return tx.Commit()
}

// sweep deletes the talks that have expired, and the oldest beyond those that
// are kept. The driver overwrites what it deletes (secure_delete).
func (s *Store) sweep(now time.Time) error {
	_, err := s.writer.ExecContext(context.Background(),
		`delete from talk where at < max(?, coalesce((select at from talk order by at desc limit 1 offset ?), 0))`,
		now.Add(-s.talks.expiry).UnixMilli(), s.talks.most-1)
	return err
}

// load reads the talks that have not expired into memory, the newest of them.
// One that can't be read is logged and left out; its row expires.
func (s *Store) load(ctx context.Context) error {
	rows, err := s.writer.QueryContext(ctx,
		`select workspace, channel, person, base, asking, pending, last, offers, shown, at from talk where at >= ? order by at desc limit ?`,
		s.now().Add(-s.talks.expiry).UnixMilli(), s.talks.most)
	if err != nil {
		return err
	}
	defer rows.Close()
	type entry struct {
		key   talk.Key
		state talk.State
	}
	var all []entry
	for rows.Next() {
		var e entry
		var ask, last, offers, shown sql.NullString
		var at int64
		if err := rows.Scan(&e.key.Workspace, &e.key.Channel, &e.key.User, &e.state.Base, &ask, &e.state.Pending, &last, &offers, &shown, &at); err != nil {
			return err
		}
		e.state.At = time.UnixMilli(at)
		if e.state.Asking, err = readAsk(ask); err == nil {
			e.state.Last, err = readAnswer(last)
		}
		if err == nil && offers.Valid {
			err = json.Unmarshal([]byte(offers.String), &e.state.Offers)
		}
		if err == nil {
			e.state.Shown, err = readUnits(shown)
		}
		if err != nil {
			s.log(fmt.Errorf("store: read a talk: %w", err))
			continue
		}
		all = append(all, e)
	}
	if err := rows.Err(); err != nil {
		return err
	}
	for _, e := range slices.Backward(all) {
		s.talks.memory.Restore(e.key, e.state)
	}
	return nil
}
