package slackfake

import (
	"encoding/json"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
)

// Refusal is why the service does not take a message or a view.
type Refusal struct {
	Code     string   // as invalid_blocks
	Messages []string // each with the place, as [json-pointer:/blocks/0/text]
}

func (r *Refusal) Error() string {
	if len(r.Messages) == 0 {
		return r.Code
	}
	return r.Code + ": " + strings.Join(r.Messages, "; ")
}

// check walks through blocks and collects what is wrong. Its sentences are those of
// the service as people have quoted them (from memory); programs should not read them.
type check struct {
	messages []string
	surface  surface
	tables   bool // whether the workspace takes table blocks
	picture  func(string) error

	ids      map[string]bool // block_id
	markdown int             // characters so far
	tableN   int             // table blocks so far
	inputs   int             // input blocks so far
	focus    int             // elements with focus_on_load
}

// surface is where blocks are shown. Not every block goes everywhere.
type surface string

const (
	inMessage surface = "message"
	inModal   surface = "modal"
	inHome    surface = "home"
)

// no notes a fault. The service names at most so many; the rest would be noise.
func (c *check) no(at, format string, args ...any) {
	if len(c.messages) < 20 {
		c.messages = append(c.messages, "[ERROR] "+fmt.Sprintf(format, args...)+" [json-pointer:"+at+"]")
	}
}

// rule checks one value.
type rule func(c *check, at string, v any)

// field is a property of an object.
type field struct {
	name string
	must bool
	rule rule
}

type shape []field

func must(name string, r rule) field { return field{name, true, r} }
func may(name string, r rule) field  { return field{name, false, r} }

// object checks a value against a shape. Properties that the shape does not know are
// refused, as the service does.
func (c *check) object(at string, v any, s shape) (map[string]any, bool) {
	m, ok := v.(map[string]any)
	if !ok {
		c.no(at, "must be an object")
		return nil, false
	}
	for _, f := range s {
		v, has := m[f.name]
		switch {
		case has && v != nil:
			f.rule(c, at+"/"+f.name, v)
		case f.must:
			c.no(at, "missing required field: %s", f.name)
		}
	}
	for name, v := range m {
		if v != nil && !slices.ContainsFunc(s, func(f field) bool { return f.name == name }) {
			c.no(at, "invalid additional property: %s", name)
		}
	}
	return m, true
}

func shaped(s shape) rule { return func(c *check, at string, v any) { c.object(at, v, s) } }

func anything(*check, string, any) {}

func boolean(c *check, at string, v any) {
	if _, ok := v.(bool); !ok {
		c.no(at, "must be a boolean")
	}
}

// str is a string with something in it and at most so much.
func str(l *limit) rule {
	return func(c *check, at string, v any) { c.length(at, v, 1, l) }
}

// blank is a string that may be empty.
func blank(l *limit) rule {
	return func(c *check, at string, v any) { c.length(at, v, 0, l) }
}

func (c *check) length(at string, v any, least int, l *limit) {
	s, ok := v.(string)
	if !ok {
		c.no(at, "must be a string")
		return
	}
	switch n := units(s); {
	case n < least:
		c.no(at, "must be more than %d characters", least-1)
	case l != nil && n > l.most:
		c.no(at, "must be less than %d characters", l.most+1)
	}
}

func oneOf(values ...string) rule {
	return func(c *check, at string, v any) {
		if s, ok := v.(string); !ok || !slices.Contains(values, s) {
			c.no(at, "must be one of: %s", strings.Join(values, ", "))
		}
	}
}

// whole is a whole number in a range.
func whole(least int, l *limit) rule {
	return func(c *check, at string, v any) {
		n, ok := v.(json.Number)
		i, err := strconv.Atoi(n.String())
		switch {
		case !ok || err != nil:
			c.no(at, "must be an integer")
		case i < least:
			c.no(at, "must be more than %d", least-1)
		case l != nil && i > l.most:
			c.no(at, "must be less than %d", l.most+1)
		}
	}
}

func (c *check) list(at string, v any, least int, l *limit, each rule) []any {
	list, ok := v.([]any)
	if !ok {
		c.no(at, "must be an array")
		return nil
	}
	switch {
	case len(list) < least:
		c.no(at, "no fewer than %d items allowed", least)
	case l != nil && len(list) > l.most:
		c.no(at, "no more than %d items allowed", l.most)
	}
	for i, item := range list {
		each(c, at+"/"+strconv.Itoa(i), item)
	}
	return list
}

func listed(least int, l *limit, each rule) rule {
	return func(c *check, at string, v any) { c.list(at, v, least, l, each) }
}

// plain is a text object of the type plain_text.
// https://docs.slack.dev/reference/block-kit/composition-objects/text-object
func plain(l *limit) rule { return textObject(l, "plain_text") }

// anyText is a text object of either type.
func anyText(l *limit) rule { return textObject(l, "plain_text", "mrkdwn") }

func textObject(l *limit, types ...string) rule {
	return func(c *check, at string, v any) {
		m, ok := v.(map[string]any)
		if !ok {
			c.no(at, "must be an object")
			return
		}
		s := shape{must("type", oneOf(types...)), must("text", str(l))}
		if m["type"] == "mrkdwn" {
			s = append(s, may("verbatim", boolean))
		} else {
			s = append(s, may("emoji", boolean))
		}
		c.object(at, v, s)
	}
}

// link is an absolute address. Of which schemes is not documented: the ones that
// browsers open.
func link(l *limit) rule {
	return func(c *check, at string, v any) {
		c.length(at, v, 1, l)
		if s, ok := v.(string); ok {
			if u, err := url.Parse(s); err != nil || u.Host == "" && u.Scheme != "mailto" || u.Scheme == "" {
				c.no(at, "must be a valid URL")
			}
		}
	}
}

// publicPicture is the address of a picture that the service fetches, so a public
// one; here also one on loopback, for a page to try the bot on.
func publicPicture(c *check, at string, v any) {
	c.length(at, v, 1, imageURL)
	s, _ := v.(string)
	u, err := url.Parse(s)
	if err != nil || u.Scheme != "https" && !(u.Scheme == "http" && strings.HasPrefix(u.Host, "127.0.0.1")) || u.Host == "" {
		c.no(at, "must be a valid URL")
		return
	}
	if c.picture != nil && c.picture(s) != nil {
		c.no(at, "downloading image failed")
	}
}
