package discordfake_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/discordfake"
)

// x is a text of n characters.
func x(n int) string { return strings.Repeat("x", n) }

// list is n things.
func list[T any](n int, make func(i int) T) []T {
	out := []T{}
	for i := range n {
		out = append(out, make(i))
	}
	return out
}

// rows are rows of buttons.
func rows(n, each int) []m {
	return list(n, func(i int) m {
		return m{"type": 1, "components": list(each, func(j int) m {
			return m{"type": 2, "style": 1, "label": "l", "custom_id": fmt.Sprintf("b %v %v", i, j)}
		})}
	})
}

// with is a message with one component, changed.
func with(c m, change m) m {
	return m{"components": []m{{"type": 1, "components": []m{merged(c, change)}}}}
}

func merged(a, b m) m {
	out := m{}
	for k, v := range a {
		out[k] = v
	}
	for k, v := range b {
		out[k] = v
	}
	return out
}

func button(change m) m {
	return with(m{"type": 2, "style": 1, "label": "l", "custom_id": "c"}, change)
}

func link(change m) m {
	return with(m{"type": 2, "style": 5, "label": "l", "url": "https://example.org"}, change)
}

func choose(change m) m {
	return with(m{"type": 3, "custom_id": "c", "options": options(2)}, change)
}

func options(n int) []m {
	return list(n, func(i int) m { return m{"label": "l", "value": fmt.Sprint("v", i)} })
}

func option(change m) m { return choose(m{"options": []m{merged(options(1)[0], change)}}) }

func embed(change m) m { return m{"embeds": []m{merged(m{"title": "t"}, change)}} }

func field(change m) m {
	return embed(m{"fields": []m{merged(m{"name": "n", "value": "v"}, change)}})
}

// modal is a form, changed.
func modal(change m) m {
	return merged(m{"custom_id": "f", "title": "t", "components": inputs(1)}, change)
}

func inputs(n int) []m {
	return list(n, func(i int) m { return inRow(m{"custom_id": fmt.Sprint("i", i)}) })
}

func inRow(change m) m {
	return m{"type": 1, "components": []m{merged(m{"type": 4, "style": 1, "label": "l", "custom_id": "i"}, change)}}
}

func input(change m) m { return modal(m{"components": []m{inRow(change)}}) }

func v2(components ...m) m { return m{"flags": 1 << 15, "components": components} }

func text(s string) m { return m{"type": 10, "content": s} }

// command is a list of one command, changed.
func command(change m) []m { return []m{merged(m{"name": "n", "description": "d"}, change)} }

// arg is a command with one option, changed.
func arg(change m) []m {
	return command(m{"options": []m{merged(m{"type": 3, "name": "o", "description": "d"}, change)}})
}

func args(n int) []m {
	return list(n, func(i int) m { return m{"type": 3, "name": fmt.Sprint("o", i), "description": "d"} })
}

func choices(n int) []m {
	return list(n, func(i int) m { return m{"name": fmt.Sprint("c", i), "value": fmt.Sprint("v", i)} })
}

// total is a command whose texts are n characters together: 25 choices of up
// to 200 in each of several options.
func total(n int) []m {
	n -= 2 // name and description of the command
	var opts []m
	for i := 0; n > 0; i++ {
		o := m{"type": 3, "name": fmt.Sprint("o", i%10), "description": "d"}
		n -= 3
		var cs []m
		for j := 0; j < 25 && n > 0; j++ {
			name := min(100, n-1)
			val := min(100, n-name)
			cs = append(cs, m{"name": fmt.Sprintf("%c", 'a'+j) + x(name-1), "value": x(val)})
			n -= name + val
		}
		o["choices"] = cs
		opts = append(opts, o)
	}
	return command(m{"options": opts})
}

// The tests of limits: what is at the limit is taken, what is one beyond is
// refused, at the place that breaks it. The figures are those of the pages, not
// of the package.
const (
	pageMessage    = "https://discord.com/developers/docs/resources/message"
	pageEmbeds     = "https://discord.com/developers/docs/resources/message#embed-object-embed-limits"
	pageComponents = "https://discord.com/developers/docs/components/reference"
	pageAnswers    = "https://discord.com/developers/docs/interactions/receiving-and-responding"
	pageCommands   = "https://discord.com/developers/docs/interactions/application-commands"
	memory         = "from memory"
)

func TestLimitsOfMessages(t *testing.T) {
	for _, c := range []struct {
		what  string
		limit int
		page  string
		make  func(n int) m
		path  string
	}{
		{"content", 2000, pageMessage, func(n int) m { return said(x(n)) }, "content"},
		{"content, beyond the first plane: two units each", 1000, memory, func(n int) m { return said(strings.Repeat("𝄞", n)) }, "content"},
		{"embeds", 10, pageMessage, func(n int) m { return m{"embeds": list(n, func(int) m { return m{"title": "t"} })} }, "embeds"},
		{"alternative text", 1024, pageMessage, func(n int) m {
			return m{"embeds": []m{{"title": "t"}}, "attachments": []m{{"id": "0", "description": x(n)}}}
		}, "attachments/0/description"},
		{"embed title", 256, pageEmbeds, func(n int) m { return embed(m{"title": x(n)}) }, "embeds/0/title"},
		{"embed description", 4096, pageEmbeds, func(n int) m { return embed(m{"description": x(n)}) }, "embeds/0/description"},
		{"embed fields", 25, pageEmbeds, func(n int) m {
			return embed(m{"fields": list(n, func(int) m { return m{"name": "n", "value": "v"} })})
		}, "embeds/0/fields"},
		{"field name", 256, pageEmbeds, func(n int) m { return field(m{"name": x(n)}) }, "embeds/0/fields/0/name"},
		{"field value", 1024, pageEmbeds, func(n int) m { return field(m{"value": x(n)}) }, "embeds/0/fields/0/value"},
		{"footer", 2048, pageEmbeds, func(n int) m { return embed(m{"footer": m{"text": x(n)}}) }, "embeds/0/footer/text"},
		{"author", 256, pageEmbeds, func(n int) m { return embed(m{"author": m{"name": x(n)}}) }, "embeds/0/author/name"},
		{"all texts of all embeds", 6000, pageEmbeds, func(n int) m {
			// 200+100+1300+400+200+600 = 2800; the rest is in the second one.
			one := m{"title": x(200), "author": m{"name": x(100)}, "description": x(1300), "footer": m{"text": x(400)},
				"fields": []m{{"name": x(200), "value": x(600)}}}
			return m{"embeds": []m{one, {"description": x(n - 2800)}}}
		}, "embeds"},
		{"embed colour", 0xFFFFFF, pageMessage, func(n int) m { return embed(m{"color": n}) }, "embeds/0/color"},
		{"embed address", 2048, memory, func(n int) m {
			return embed(m{"url": "https://example.org/" + x(n-20)})
		}, "embeds/0/url"},
		{"rows", 5, pageComponents, func(n int) m { return m{"components": rows(n, 1)} }, "components"},
		{"buttons in a row", 5, pageComponents, func(n int) m { return m{"components": rows(1, n)} }, "components/0/components"},
		{"button label", 80, pageComponents, func(n int) m { return button(m{"label": x(n)}) }, "components/0/components/0/label"},
		{"custom_id of a button", 100, pageComponents, func(n int) m { return button(m{"custom_id": x(n)}) }, "components/0/components/0/custom_id"},
		{"address of a button", 512, pageComponents, func(n int) m {
			return link(m{"url": "https://example.org/" + x(n-20)})
		}, "components/0/components/0/url"},
		{"custom_id of a select", 100, pageComponents, func(n int) m { return choose(m{"custom_id": x(n)}) }, "components/0/components/0/custom_id"},
		{"options of a select", 25, pageComponents, func(n int) m { return choose(m{"options": options(n)}) }, "components/0/components/0/options"},
		{"label of an option", 100, pageComponents, func(n int) m { return option(m{"label": x(n)}) }, "components/0/components/0/options/0/label"},
		{"value of an option", 100, pageComponents, func(n int) m { return option(m{"value": x(n)}) }, "components/0/components/0/options/0/value"},
		{"description of an option", 100, pageComponents, func(n int) m { return option(m{"description": x(n)}) }, "components/0/components/0/options/0/description"},
		{"placeholder of a select", 150, pageComponents, func(n int) m { return choose(m{"placeholder": x(n)}) }, "components/0/components/0/placeholder"},
		{"max_values of a select", 25, pageComponents, func(n int) m { return choose(m{"max_values": n}) }, "components/0/components/0/max_values"},
		{"min_values of a select", 25, pageComponents, func(n int) m { return choose(m{"min_values": n, "max_values": 25}) }, "components/0/components/0/min_values"},
		{"components of version 2", 40, pageComponents, func(n int) m {
			return v2(list(n, func(int) m { return text("t") })...)
		}, "components"},
		{"nested components of version 2", 40, pageComponents, func(n int) m {
			return v2(merged(m{"type": 17}, m{"components": list(n-1, func(int) m { return text("t") })}))
		}, "components"},
		{"texts of version 2", 4000, memory, func(n int) m { return v2(text(x(3000)), text(x(n-3000))) }, "components"},
	} {
		t.Run(c.what, func(t *testing.T) {
			r := newRest(t, discordfake.Options{})
			send := func(n int) answer {
				in := r.slash()
				data := merged(m{"allowed_mentions": quiet}, c.make(n))
				if _, files := data["attachments"]; files {
					return r.do(r.form("POST", "interactions/"+in.ID+"/"+in.Token+"/callback", m{"type": 4, "data": data}, []byte("x")))
				}
				return r.callback(in, 4, data)
			}
			atLimit := send(c.limit)
			require.Equal(t, 204, atLimit.status, "%v is allowed by %s: %s", c.limit, c.page, atLimit.body)
			beyond := send(c.limit + 1)
			assert.Equal(t, []int{400, 50035}, []int{beyond.status, beyond.code()}, "%v is too much by %s", c.limit+1, c.page)
			assert.NotEmpty(t, beyond.at(append([]string{"data"}, strings.Split(c.path, "/")...)...), beyond.body)
			// An edit is held to the same limits.
			in := r.slash()
			require.Equal(t, 204, r.callback(in, 5, nil).status)
			_, hasFlags := c.make(c.limit)["flags"]
			if _, files := c.make(c.limit)["attachments"]; !files && !hasFlags {
				assert.Equal(t, 50035, r.ask("PATCH", hook(in, "/messages/@original"), c.make(c.limit+1)).code())
				assert.Equal(t, 50035, r.ask("POST", hook(in, ""), c.make(c.limit+1)).code())
				assert.Equal(t, 200, r.ask("PATCH", hook(in, "/messages/@original"), c.make(c.limit)).status)
			}
		})
	}
}

func TestLimitsOfForms(t *testing.T) {
	label := func(change m) m {
		return modal(m{"components": []m{merged(m{"type": 18, "label": "l", "component": m{"type": 4, "style": 1, "custom_id": "i"}}, change)}})
	}
	for _, c := range []struct {
		what  string
		limit int
		page  string
		make  func(n int) m
		path  string
	}{
		{"title", 45, pageAnswers, func(n int) m { return modal(m{"title": x(n)}) }, "title"},
		{"custom_id", 100, pageAnswers, func(n int) m { return modal(m{"custom_id": x(n)}) }, "custom_id"},
		{"components", 5, pageAnswers, func(n int) m { return modal(m{"components": inputs(n)}) }, "components"},
		{"inputs in a row", 1, pageComponents, func(n int) m {
			return modal(m{"components": []m{{"type": 1, "components": list(n, func(i int) m {
				return m{"type": 4, "style": 1, "label": "l", "custom_id": fmt.Sprint(i)}
			})}}})
		}, "components/0/components"},
		{"custom_id of an input", 100, pageComponents, func(n int) m { return input(m{"custom_id": x(n)}) }, "components/0/components/0/custom_id"},
		{"label of an input", 45, pageComponents, func(n int) m { return input(m{"label": x(n)}) }, "components/0/components/0/label"},
		{"placeholder of an input", 100, pageComponents, func(n int) m { return input(m{"placeholder": x(n)}) }, "components/0/components/0/placeholder"},
		{"value of an input", 4000, pageComponents, func(n int) m { return input(m{"value": x(n)}) }, "components/0/components/0/value"},
		{"value of an input with a length", 10, pageComponents, func(n int) m { return input(m{"value": x(n), "max_length": 10}) }, "components/0/components/0/value"},
		{"max_length", 4000, pageComponents, func(n int) m { return input(m{"max_length": n}) }, "components/0/components/0/max_length"},
		{"min_length", 4000, pageComponents, func(n int) m { return input(m{"min_length": n}) }, "components/0/components/0/min_length"},
		{"label text", 45, pageComponents, func(n int) m { return label(m{"label": x(n)}) }, "components/0/label"},
		{"label description", 100, pageComponents, func(n int) m { return label(m{"description": x(n)}) }, "components/0/description"},
		{"value of an input in a label", 4000, pageComponents, func(n int) m {
			return label(m{"component": m{"type": 4, "style": 1, "custom_id": "i", "value": x(n)}})
		}, "components/0/component/value"},
	} {
		t.Run(c.what, func(t *testing.T) {
			r := newRest(t, discordfake.Options{})
			atLimit := r.callback(r.slash(), 9, c.make(c.limit))
			require.Equal(t, 204, atLimit.status, "%v is allowed by %s: %s", c.limit, c.page, atLimit.body)
			beyond := r.callback(r.slash(), 9, c.make(c.limit+1))
			assert.Equal(t, []int{400, 50035}, []int{beyond.status, beyond.code()}, "%v is too much by %s", c.limit+1, c.page)
			assert.NotEmpty(t, beyond.at(append([]string{"data"}, strings.Split(c.path, "/")...)...), beyond.body)
		})
	}
}

func TestLimitsOfAutocomplete(t *testing.T) {
	one := func(change m) m { return m{"choices": []m{merged(m{"name": "n", "value": "v"}, change)}} }
	for _, c := range []struct {
		what  string
		limit int
		make  func(n int) m
		path  string
	}{
		{"choices", 25, func(n int) m { return m{"choices": choices(n)} }, "choices"},
		{"name", 100, func(n int) m { return one(m{"name": x(n)}) }, "choices/0/name"},
		{"value", 100, func(n int) m { return one(m{"value": x(n)}) }, "choices/0/value"},
	} {
		t.Run(c.what, func(t *testing.T) {
			r := newRest(t, discordfake.Options{})
			send := func(data m) answer {
				in := r.s.Open(discordfake.Typing(discordfake.InGuild("1"), "ask", discordfake.Focus(discordfake.TextOption("text", "2"))))
				return r.callback(in, 8, data)
			}
			require.Equal(t, 204, send(c.make(c.limit)).status, pageCommands)
			beyond := send(c.make(c.limit + 1))
			assert.Equal(t, 50035, beyond.code(), pageCommands)
			assert.NotEmpty(t, beyond.at(append([]string{"data"}, strings.Split(c.path, "/")...)...), beyond.body)
		})
	}
}

func TestLimitsOfCommands(t *testing.T) {
	for _, c := range []struct {
		what  string
		limit int
		page  string
		make  func(n int) []m
		path  string // "": the answer has a code of its own
	}{
		{"chat commands", 100, pageCommands, func(n int) []m {
			return list(n, func(i int) m { return m{"name": fmt.Sprint("n", i), "description": "d"} })
		}, ""},
		{"user commands", 15, memory, func(n int) []m {
			return list(n, func(i int) m { return m{"type": 2, "name": fmt.Sprint("N ", i)} })
		}, ""},
		{"name", 32, pageCommands, func(n int) []m { return command(m{"name": x(n)}) }, "0/name"},
		{"name of a user command", 32, pageCommands, func(n int) []m { return []m{{"type": 2, "name": x(n)}} }, "0/name"},
		{"description", 100, pageCommands, func(n int) []m { return command(m{"description": x(n)}) }, "0/description"},
		{"name in German", 32, pageCommands, func(n int) []m { return command(m{"name_localizations": m{"de": x(n)}}) }, "0/name_localizations/de"},
		{"description in German", 100, pageCommands, func(n int) []m { return command(m{"description_localizations": m{"de": x(n)}}) }, "0/description_localizations/de"},
		{"options", 25, pageCommands, func(n int) []m { return command(m{"options": args(n)}) }, "0/options"},
		{"options of a sub-command", 25, pageCommands, func(n int) []m {
			return arg(m{"type": 1, "options": args(n)})
		}, "0/options/0/options"},
		{"sub-commands of a group", 25, pageCommands, func(n int) []m {
			return arg(m{"type": 2, "options": list(n, func(i int) m { return m{"type": 1, "name": fmt.Sprint("s", i), "description": "d"} })})
		}, "0/options/0/options"},
		{"option name", 32, pageCommands, func(n int) []m { return arg(m{"name": x(n)}) }, "0/options/0/name"},
		{"option description", 100, pageCommands, func(n int) []m { return arg(m{"description": x(n)}) }, "0/options/0/description"},
		{"option name in French", 32, pageCommands, func(n int) []m { return arg(m{"name_localizations": m{"fr": x(n)}}) }, "0/options/0/name_localizations/fr"},
		{"option description in French", 100, pageCommands, func(n int) []m { return arg(m{"description_localizations": m{"fr": x(n)}}) }, "0/options/0/description_localizations/fr"},
		{"choices", 25, pageCommands, func(n int) []m { return arg(m{"choices": choices(n)}) }, "0/options/0/choices"},
		{"choice name", 100, pageCommands, func(n int) []m { return arg(m{"choices": []m{{"name": x(n), "value": "v"}}}) }, "0/options/0/choices/0/name"},
		{"choice name in French", 100, pageCommands, func(n int) []m {
			return arg(m{"choices": []m{{"name": "n", "value": "v", "name_localizations": m{"fr": x(n)}}}})
		}, "0/options/0/choices/0/name_localizations/fr"},
		{"choice value", 100, pageCommands, func(n int) []m { return arg(m{"choices": []m{{"name": "n", "value": x(n)}}}) }, "0/options/0/choices/0/value"},
		{"min_length", 6000, pageCommands, func(n int) []m { return arg(m{"min_length": n}) }, "0/options/0/min_length"},
		{"max_length", 6000, pageCommands, func(n int) []m { return arg(m{"max_length": n}) }, "0/options/0/max_length"},
		{"max_value of an integer", 1 << 53, pageCommands, func(n int) []m { return arg(m{"type": 4, "max_value": n}) }, "0/options/0/max_value"},
		{"min_value of an integer", 1 << 53, pageCommands, func(n int) []m { return arg(m{"type": 4, "min_value": -n}) }, "0/options/0/min_value"},
		{"value of an integer choice", 1 << 53, pageCommands, func(n int) []m {
			return arg(m{"type": 4, "choices": []m{{"name": "n", "value": n}}})
		}, "0/options/0/choices/0/value"},
		{"texts of one command together", 8000, memory, total, "0"},
		{"commands created in a day", 200, pageCommands, nil, ""},
	} {
		if c.make == nil {
			continue // TestCreatesOfADay
		}
		t.Run(c.what, func(t *testing.T) {
			r := newRest(t, discordfake.Options{})
			atLimit := r.own("PUT", "applications/42/commands", c.make(c.limit))
			require.Equal(t, 200, atLimit.status, "%v is allowed by %s: %s", c.limit, c.page, atLimit.body)
			beyond := r.own("PUT", "applications/42/guilds/5/commands", c.make(c.limit+1))
			require.Equal(t, 400, beyond.status, "%v is too much by %s", c.limit+1, c.page)
			if c.path == "" {
				assert.Equal(t, 30032, beyond.code(), beyond.body)
				return
			}
			assert.Equal(t, 50035, beyond.code())
			assert.NotEmpty(t, beyond.at(strings.Split(c.path, "/")...), beyond.body)
		})
	}
}

// TestCreatesOfADay counts commands that are new, by guild.
func TestCreatesOfADay(t *testing.T) {
	r := newRest(t, discordfake.Options{})
	register := func(path, letter string, n int) answer {
		return r.own("PUT", "applications/42/"+path, list(n, func(i int) m {
			return m{"name": fmt.Sprint(letter, i), "description": "d"}
		}))
	}
	require.Equal(t, 200, register("commands", "a", 100).status)
	require.Equal(t, 200, register("commands", "a", 100).status, "none of them is new")
	require.Equal(t, 200, register("commands", "b", 100).status)
	over := register("commands", "c", 1)
	assert.Equal(t, []int{400, 30034}, []int{over.status, over.code()})
	assert.Equal(t, 200, register("guilds/5/commands", "c", 1).status, "a guild counts for itself")
	r.clock.Advance(24 * 60 * 60 * 1e9)
	assert.Equal(t, 200, register("commands", "c", 1).status)
}

// TestRefusals holds the rules that are no greatest lengths.
func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		why  string
		kind int
		data any
		path string
	}{
		{"nothing to say", 4, nil, "data"},
		{"a field without a name", 4, field(m{"name": ""}), "data/embeds/0/fields/0/name"},
		{"a field of spaces", 4, field(m{"value": "  "}), "data/embeds/0/fields/0/value"},
		{"an empty card", 4, m{"embeds": []m{{}}}, "data/embeds/0/description"},
		{"an empty footer", 4, embed(m{"footer": m{}}), "data/embeds/0/footer/text"},
		{"an empty author", 4, embed(m{"author": m{}}), "data/embeds/0/author/name"},
		{"an address that is none", 4, embed(m{"image": m{"url": "plot.png"}}), "data/embeds/0/image/url"},
		{"an address without a host", 4, embed(m{"url": "https:plot.png"}), "data/embeds/0/url"},
		{"a time that is none", 4, embed(m{"timestamp": "noon"}), "data/embeds/0/timestamp"},
		{"a colour below black", 4, embed(m{"color": -1}), "data/embeds/0/color"},
		{"a number for a text", 4, m{"content": 5}, "data/content"},
		{"a flag that can't be set", 4, m{"content": "x", "flags": 1}, "data/flags"},
		{"a row of nothing", 4, m{"components": []m{{"type": 1, "components": []m{}}}}, "data/components/0/components"},
		{"a button outside a row", 4, m{"components": []m{{"type": 2, "style": 1, "label": "l", "custom_id": "c"}}}, "data/components/0/type"},
		{"a text input in a message", 4, with(m{"type": 4, "style": 1, "label": "l", "custom_id": "c"}, nil), "data/components/0/components/0/type"},
		{"a select beside a button", 4, m{"components": []m{{"type": 1, "components": []m{
			{"type": 2, "style": 1, "label": "l", "custom_id": "b"}, {"type": 3, "custom_id": "c", "options": options(1)}}}}}, "data/components/0/components"},
		{"the same custom_id twice", 4, m{"components": []m{rows(1, 1)[0], rows(1, 1)[0]}}, "data/components/1/components/0/custom_id"},
		{"a button without custom_id", 4, button(m{"custom_id": ""}), "data/components/0/components/0/custom_id"},
		{"a button with nothing on it", 4, button(m{"label": ""}), "data/components/0/components/0/label"},
		{"a button of no style", 4, button(m{"style": 0}), "data/components/0/components/0/style"},
		{"a button with an address", 4, button(m{"url": "https://example.org"}), "data/components/0/components/0/url"},
		{"a link with a custom_id", 4, link(m{"custom_id": "c"}), "data/components/0/components/0/custom_id"},
		{"a link to nowhere", 4, link(m{"url": ""}), "data/components/0/components/0/url"},
		{"a select without options", 4, choose(m{"options": []m{}}), "data/components/0/components/0/options"},
		{"a select with a value twice", 4, choose(m{"options": []m{options(1)[0], options(1)[0]}}), "data/components/0/components/0/options/1/value"},
		{"a select with too many chosen", 4, choose(m{"options": []m{
			{"label": "a", "value": "a", "default": true}, {"label": "b", "value": "b", "default": true}}}), "data/components/0/components/0/options"},
		{"a select that wants more than it takes", 4, choose(m{"min_values": 2}), "data/components/0/components/0/min_values"},
		{"content beside components of version 2", 4, merged(v2(text("x")), m{"content": "x"}), "data/content"},
		{"cards beside components of version 2", 4, merged(v2(text("x")), embed(nil)), "data/embeds"},
		{"a form without a title", 9, modal(m{"title": ""}), "data/title"},
		{"a form without inputs", 9, modal(m{"components": []m{}}), "data/components"},
		{"a form with a button", 9, modal(m{"components": rows(1, 1)}), "data/components/0/components/0/type"},
		{"a form with an id twice", 9, modal(m{"components": []m{inputs(1)[0], inputs(1)[0]}}), "data/components/1/components/0/custom_id"},
		{"an input of no style", 9, input(m{"style": 0}), "data/components/0/components/0/style"},
		{"an input without a label", 9, input(m{"label": ""}), "data/components/0/components/0/label"},
		{"an input of no length", 9, input(m{"max_length": 0}), "data/components/0/components/0/max_length"},
		{"an input with its lengths the wrong way", 9, input(m{"min_length": 5, "max_length": 4}), "data/components/0/components/0/min_length"},
		{"an input filled with too little", 9, input(m{"min_length": 5, "value": "1234"}), "data/components/0/components/0/value"},
	} {
		t.Run(c.why, func(t *testing.T) {
			r := newRest(t, discordfake.Options{})
			a := r.callback(r.slash(), c.kind, c.data)
			require.Equal(t, []int{400, 50035}, []int{a.status, a.code()}, a.body)
			assert.NotEmpty(t, a.at(strings.Split(c.path, "/")...), a.body)
		})
	}
}

func TestRefusedCommands(t *testing.T) {
	opts := func(list ...m) []m { return command(m{"options": list}) }
	need := m{"type": 3, "name": "need", "description": "d", "required": true}
	may := m{"type": 3, "name": "may", "description": "d"}
	sub := m{"type": 1, "name": "sub", "description": "d"}
	for _, c := range []struct {
		why  string
		list []m
		path string
	}{
		{"a name of capitals", command(m{"name": "Fit"}), "0/name"},
		{"a name with a space", command(m{"name": "tyre fit"}), "0/name"},
		{"no name", command(m{"name": ""}), "0/name"},
		{"no description", command(m{"description": ""}), "0/description"},
		{"a name twice", append(command(nil), command(nil)...), "1/name"},
		{"an unknown type", command(m{"type": 9}), "0/type"},
		{"a user command with a description", []m{{"type": 2, "name": "Ask", "description": "d"}}, "0/description"},
		{"an unknown language", command(m{"name_localizations": m{"en": "n"}}), "0/name_localizations/en"},
		{"a name of capitals in German", command(m{"name_localizations": m{"de": "Luft"}}), "0/name_localizations/de"},
		{"an unknown language of a description", command(m{"description_localizations": m{"xx": "n"}}), "0/description_localizations/xx"},
		{"an unknown place", command(m{"contexts": []int{3}}), "0/contexts/0"},
		{"a place twice", command(m{"contexts": []int{0, 0}}), "0/contexts"},
		{"an unknown way to install", command(m{"integration_types": []int{2}}), "0/integration_types/0"},
		{"what is required behind what is not", opts(may, need), "0/options"},
		{"an option twice", opts(may, may), "0/options/1/name"},
		{"a sub-command beside an option", opts(sub, may), "0/options"},
		{"a group in a group", opts(m{"type": 2, "name": "g", "description": "d", "options": []m{{"type": 2, "name": "h", "description": "d"}}}), "0/options/0/options/0/type"},
		{"an option in a group", opts(m{"type": 2, "name": "g", "description": "d", "options": []m{may}}), "0/options/0/options/0/type"},
		{"a sub-command in a sub-command", opts(merged(sub, m{"options": []m{sub}})), "0/options/0/options/0/type"},
		{"an unknown type of option", arg(m{"type": 12}), "0/options/0/type"},
		{"choices beside autocomplete", arg(m{"autocomplete": true, "choices": choices(1)}), "0/options/0/autocomplete"},
		{"autocomplete of a boolean", arg(m{"type": 5, "autocomplete": true}), "0/options/0"},
		{"a choice twice", arg(m{"choices": []m{choices(1)[0], choices(1)[0]}}), "0/options/0/choices/1/name"},
		{"a number as choice of a text", arg(m{"choices": []m{{"name": "n", "value": 5}}}), "0/options/0/choices/0/value"},
		{"a text as choice of a number", arg(m{"type": 10, "choices": choices(1)}), "0/options/0/choices/0/value"},
		{"half as choice of an integer", arg(m{"type": 4, "choices": []m{{"name": "n", "value": 0.5}}}), "0/options/0/choices/0/value"},
		{"a choice of nothing", arg(m{"choices": []m{{"name": "n"}}}), "0/options/0/choices/0/value"},
		{"a length of a number", arg(m{"type": 10, "max_length": 5}), "0/options/0"},
		{"a bound of a text", arg(m{"max_value": 5}), "0/options/0"},
		{"half as bound of an integer", arg(m{"type": 4, "min_value": 0.5}), "0/options/0/min_value"},
		{"bounds the wrong way", arg(m{"type": 10, "min_value": 2, "max_value": 1}), "0/options/0/min_value"},
		{"lengths the wrong way", arg(m{"min_length": 2, "max_length": 1}), "0/options/0/min_length"},
		{"no length at all", arg(m{"max_length": 0}), "0/options/0/max_length"},
		{"kinds of channel for a text", arg(m{"channel_types": []int{0}}), "0/options/0/channel_types"},
		{"options of an option", arg(m{"options": []m{may}}), "0/options/0/options"},
	} {
		t.Run(c.why, func(t *testing.T) {
			r := newRest(t, discordfake.Options{})
			a := r.own("PUT", "applications/42/commands", c.list)
			require.Equal(t, []int{400, 50035}, []int{a.status, a.code()}, a.body)
			assert.NotEmpty(t, a.at(strings.Split(c.path, "/")...), a.body)
		})
	}
	fine := opts(need, may, m{"type": 10, "name": "höhe_1", "description": "d", "min_value": -30, "max_value": 0})
	fine[0]["contexts"], fine[0]["integration_types"] = []int{0, 1, 2}, []int{0, 1}
	r := newRest(t, discordfake.Options{})
	a := r.own("PUT", "applications/42/commands", fine)
	assert.Equal(t, 200, a.status, a.body)
	assert.Contains(t, a.body, `"max_value":0`)
}
