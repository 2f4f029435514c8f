package discordfake

import (
	"encoding/json"
	"slices"
	"time"
)

// Flags of messages.
// https://discord.com/developers/docs/resources/message#message-object-message-flags
const (
	FlagSuppressEmbeds        = 1 << 2
	FlagEphemeral             = 1 << 6
	FlagLoading               = 1 << 7 // a deferral that was not answered yet
	FlagSuppressNotifications = 1 << 12
	FlagVoiceMessage          = 1 << 13
	FlagComponentsV2          = 1 << 15
)

// Message is a message of the bot.
// https://discord.com/developers/docs/resources/message#message-object
type Message struct {
	ID            string       `json:"id"`
	ChannelID     string       `json:"channel_id"`
	ApplicationID string       `json:"application_id,omitempty"`
	Type          int          `json:"type"`
	Timestamp     time.Time    `json:"timestamp"`
	Edited        *time.Time   `json:"edited_timestamp"`
	Author        Author       `json:"author"`
	Content       string       `json:"content"`
	Flags         int64        `json:"flags"`
	TTS           bool         `json:"tts"`
	Embeds        []Embed      `json:"embeds"`
	Components    []Component  `json:"components"`
	Attachments   []Attachment `json:"attachments"`

	// Interaction that made the message. Not sent.
	Interaction string `json:"-"`
	// Deleted tells that the bot deleted it. Not sent.
	Deleted bool `json:"-"`
}

// Ephemeral tells that only who asked sees the message.
func (m Message) Ephemeral() bool { return m.Flags&FlagEphemeral != 0 }

// Author is who wrote a message.
type Author struct {
	ID       string `json:"id"`
	Username string `json:"username"`
	Bot      bool   `json:"bot,omitempty"`
}

// Embed is a card in a message.
// https://discord.com/developers/docs/resources/message#embed-object
type Embed struct {
	Type        string       `json:"type,omitempty"`
	Title       string       `json:"title,omitempty"`
	Description string       `json:"description,omitempty"`
	URL         string       `json:"url,omitempty"`
	Timestamp   string       `json:"timestamp,omitempty"`
	Colour      int64        `json:"color,omitempty"`
	Footer      *EmbedFooter `json:"footer,omitempty"`
	Image       *EmbedImage  `json:"image,omitempty"`
	Thumbnail   *EmbedImage  `json:"thumbnail,omitempty"`
	Author      *EmbedAuthor `json:"author,omitempty"`
	Fields      []EmbedField `json:"fields,omitempty"`
}

// EmbedFooter is the small line below a card.
type EmbedFooter struct {
	Text    string `json:"text"`
	IconURL string `json:"icon_url,omitempty"`
}

// EmbedImage is a picture in a card; attachment://NAME names a file sent along.
type EmbedImage struct {
	URL string `json:"url"`
}

// EmbedAuthor is the line above a card.
type EmbedAuthor struct {
	Name    string `json:"name"`
	URL     string `json:"url,omitempty"`
	IconURL string `json:"icon_url,omitempty"`
}

// EmbedField is a named part of a card.
type EmbedField struct {
	Name   string `json:"name"`
	Value  string `json:"value"`
	Inline bool   `json:"inline,omitempty"`
}

// Attachment is a file of a message. Its URL is served by the fake as long as
// the file is kept.
// https://discord.com/developers/docs/resources/message#attachment-object
type Attachment struct {
	ID          Snowflake `json:"id"`
	Filename    string    `json:"filename"`
	Description string    `json:"description,omitempty"`
	ContentType string    `json:"content_type,omitempty"`
	Size        int       `json:"size"`
	URL         string    `json:"url"`
}

// Snowflake is an id, sent as a text or, for the n of files[n], as a number.
type Snowflake string

// UnmarshalJSON takes either.
func (s *Snowflake) UnmarshalJSON(b []byte) error {
	var n json.Number // takes both
	if err := json.Unmarshal(b, &n); err != nil {
		return err
	}
	*s = Snowflake(n)
	return nil
}

// payload is what a bot sends to make or to change a message. Nil means that
// a field was not sent, or null.
type payload struct {
	Content     *string         `json:"content"`
	TTS         bool            `json:"tts"`
	Embeds      *[]Embed        `json:"embeds"`
	Mentions    json.RawMessage `json:"allowed_mentions"`
	Components  *[]Component    `json:"components"`
	Flags       *int64          `json:"flags"`
	Attachments *[]Attachment   `json:"attachments"`
	StickerIDs  []string        `json:"sticker_ids"`
	Poll        json.RawMessage `json:"poll"`
}

// onto returns the message as it is after the payload, and what is wrong with
// it. Files were sent along.
func (p *payload) onto(m Message, a *at, files []upload) Message {
	if p.Content != nil {
		m.Content = *p.Content
	}
	if p.Embeds != nil {
		m.Embeds = *p.Embeds
	}
	if p.Components != nil {
		m.Components = *p.Components
	}
	m.TTS = p.TTS
	p.checkAttachments(a, files, m.Attachments)
	m.check(a)
	return m
}

// empty tells that there is nothing to see.
func (m *Message) empty(files int) bool {
	return m.Content == "" && len(m.Embeds) == 0 && len(m.Components) == 0 && len(m.Attachments)+files == 0
}

// check notes what breaks the limits.
func (m *Message) check(a *at) {
	a.field("content").size(Units(m.Content), 0, maxContent)
	if m.Flags&FlagComponentsV2 != 0 {
		m.checkV2(a)
		return
	}
	checkEmbeds(a.field("embeds"), m.Embeds)
	checkComponents(a.field("components"), m.Components)
}

// checkAttachments holds the list of files to those sent along or there before.
func (p *payload) checkAttachments(a *at, files []upload, before []Attachment) {
	names := make(map[string]bool)
	for i, f := range files {
		if names[f.field] {
			a.field("files").item(i).fail("FILE_NAME_DUPLICATED", "File part "+f.field+" was sent twice")
		}
		names[f.field] = true
	}
	had := len(before)
	if p.Attachments != nil {
		had = 0
		for i, t := range *p.Attachments {
			here := a.field("attachments").item(i)
			here.field("description").size(Units(t.Description), 0, maxAlt)
			switch {
			case slices.ContainsFunc(before, func(b Attachment) bool { return b.ID == t.ID }):
				had++
			case !names["files["+string(t.ID)+"]"]:
				here.field("id").fail("ATTACHMENT_NOT_FOUND", "No file files["+string(t.ID)+"] was sent, and the message has none with this id")
			}
		}
	}
	if n := len(files) + had; n > maxFiles {
		a.field("attachments").size(n, 0, maxFiles)
	}
}
