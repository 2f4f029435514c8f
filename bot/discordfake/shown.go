package discordfake

import "strings"

// Text is what a person reads of a message, from top to bottom: its content and
// its cards, without what can be pressed.
func Text(m Message) string {
	var lines []string
	add := func(s string) {
		if s != "" {
			lines = append(lines, s)
		}
	}
	add(m.Content)
	for _, e := range m.Embeds {
		if e.Author != nil {
			add(e.Author.Name)
		}
		add(e.Title)
		add(e.Description)
		for _, f := range e.Fields {
			add(f.Name)
			add(f.Value)
		}
		if e.Footer != nil {
			add(e.Footer.Text)
		}
	}
	each(m.Components, func(c *Component) { add(c.Content) })
	return strings.Join(lines, "\n")
}

// each calls do for all components, nested ones after what holds them.
func each(list []Component, do func(*Component)) {
	for i := range list {
		c := &list[i]
		do(c)
		each(c.Components, do)
		if c.Component != nil {
			each([]Component{*c.Component}, do)
		}
		if c.Accessory != nil {
			each([]Component{*c.Accessory}, do)
		}
	}
}

// Buttons returns the buttons of a message in the order they are shown.
func Buttons(m Message) []Component {
	var out []Component
	each(m.Components, func(c *Component) {
		if c.Type == TypeButton {
			out = append(out, *c)
		}
	})
	return out
}

// Button returns the button with a label.
func Button(m Message, label string) (Component, bool) {
	for _, b := range Buttons(m) {
		if b.Label == label {
			return b, true
		}
	}
	return Component{}, false
}

// Selects returns the selects of a message in the order they are shown.
func Selects(m Message) []Component {
	var out []Component
	each(m.Components, func(c *Component) {
		switch c.Type {
		case TypeSelect, TypeUserSelect, TypeRoleSelect, TypeMentionable, TypeChannelSelect:
			out = append(out, *c)
		}
	})
	return out
}

// Inputs returns the text inputs of a form in the order they are shown.
func Inputs(m Modal) []Component {
	var out []Component
	each(m.Components, func(c *Component) {
		if c.Type == TypeTextInput {
			out = append(out, *c)
		}
	})
	return out
}
