package slack

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/slack-go/slack"

	"spokeword/bot"
	"spokeword/bot/render"
	"spokeword/commands"
	"spokeword/commands/reply"
)

// Limits of what is shown, in UTF-16 units where a text is counted: what fits
// so fits however the service counts.
const (
	mostSection = 3000 // https://docs.slack.dev/reference/block-kit/blocks/section-block
	mostContext = 2000 // of one element; no page says it, the library types of the service do
	mostLabel   = 75   // https://docs.slack.dev/reference/block-kit/block-elements/button-element
	mostValue   = 2000 // the same page
	mostButtons = 25   // https://docs.slack.dev/reference/block-kit/blocks/actions-block
	mostBlocks  = 50   // https://docs.slack.dev/reference/block-kit/blocks
	mostText    = 4000 // https://docs.slack.dev/reference/methods/chat.postMessage
	mostCells   = 10000
	// A table of more rows or columns is hard to read on a telephone.
	mostRows, mostColumns = 8, 4
	// mostBytes keeps a message small enough to go back with an acknowledgement,
	// which the service drops without a word from 20 KiB on.
	// https://github.com/slack-go/slack, socketmode/socket_mode_managed_conn.go
	mostBytes = 18000
	// mostReply is how much of one answer is shown before notes and rows go.
	mostReply = 9000
	// columns of a monospace block on a telephone.
	columns = 34
)

// message is one message as the service shows it.
type message struct {
	text   string // for notifications and screen readers; escaped
	blocks []slack.Block
	table  bool
	// What stands for it where it is refused: the same with its table as lines
	// of one width, and texts alone. Nil where a former message has said it.
	lined func() []slack.Block
	plain func() []string
}

// messages lays an answer out. The first is never empty. With share they hold a
// button that shows the answer to others, where that makes sense.
func messages(a bot.Answer, share bool, fillable func(reply.Reply) bool) []message {
	var all []message
	line, shareable := a.Shareable()
	shareable = shareable && share
	n := 0 // numbers the buttons of one message apart
	for i, r := range a.Replies {
		r = render.Fit(r, mostReply, size)
		var blocks []slack.Block
		var first reply.Table
		table := -1 // where its block stands
		parts := render.PartsOf(r)
		if len(a.Replies) > 1 && r.Title != "" {
			blocks = append(blocks, sections(parts.Title)...)
		}
		head := cmp.Or(headOf(parts), parts.Title, "…")
		blocks = append(blocks, sections(head)...)
		for j, t := range r.Tables {
			if b := tableBlock(t); b != nil && j == 0 {
				if t.Title != "" {
					blocks = append(blocks, contexts(render.Safe(t.Title))...)
				}
				table = len(blocks)
				blocks = append(blocks, b)
				first = reply.Table{Head: t.Head, Rows: t.Rows}
				continue
			}
			blocks = append(blocks, monospace(t)...)
		}
		if len(r.Drawing) > 0 {
			blocks = append(blocks, monospaced(reply.Reply{Drawing: r.Drawing})...)
		}
		blocks = append(blocks, contexts(strings.Join(parts.Understood, "\n"))...)
		blocks = append(blocks, contexts(strings.Join(parts.Notes, "\n"))...)
		shared := ""
		if shareable && i == len(a.Replies)-1 {
			shared = line
		}
		blocks = append(blocks, buttons(r, shared, fillable(r), &n)...)
		m := message{text: clipped(escaped(head), mostText), blocks: blocks, table: table >= 0, plain: func() []string { return fallback(r) }}
		if m.table {
			m.lined = func() []slack.Block { return slices.Concat(blocks[:table], monospace(first), blocks[table+1:]) }
		}
		all = pack(all, m)
	}
	if len(all) == 0 {
		all = []message{{text: "Nothing to say.", blocks: sections("Nothing to say."), plain: func() []string { return []string{"Nothing to say."} }}}
	}
	return all
}

// pack adds what one reply shows to the messages: to the last one if it fits
// there whole, else cut into messages of their own.
func pack(all []message, m message) []message {
	if len(all) > 0 {
		last := all[len(all)-1]
		if !m.table && len(last.blocks)+len(m.blocks) <= mostBlocks && weight(last.blocks)+weight(m.blocks) <= mostBytes && units(last.text)+1+units(m.text) <= mostText {
			all[len(all)-1] = joined(last, m)
			return all
		}
	}
	whole := true
	for {
		n, bytes := 0, 0
		for n < len(m.blocks) && n < mostBlocks {
			w := weight(m.blocks[n : n+1])
			if n > 0 && bytes+w > mostBytes {
				break
			}
			bytes += w
			n++
		}
		part := message{text: m.text, blocks: m.blocks[:n:n], plain: m.plain}
		for _, b := range part.blocks {
			part.table = part.table || b.BlockType() == slack.MBTTable
		}
		if m.blocks = m.blocks[n:]; whole && len(m.blocks) == 0 {
			part.lined = m.lined // whole, as nearly all are
		}
		all = append(all, part)
		if len(m.blocks) == 0 {
			return all
		}
		m.plain, m.text, whole = nil, "…", false
	}
}

// joined is one message of two, of which the second has no table.
func joined(a, b message) message {
	out := message{text: a.text + "\n" + b.text, blocks: slices.Concat(a.blocks, b.blocks), table: a.table}
	if a.lined != nil {
		out.lined = func() []slack.Block { return slices.Concat(a.lined(), b.blocks) }
	}
	out.plain = func() []string { return slices.Concat(plainOf(a), plainOf(b)) }
	return out
}

// plainOf returns a message as texts alone.
func plainOf(m message) []string {
	if m.plain == nil {
		return nil
	}
	return m.plain()
}

// size measures a reply as it is shown, for render.Fit.
func size(r reply.Reply) int {
	const label = 16 // what stands before or behind a part
	n := units(r.Error) + units(r.Example)
	for _, text := range r.Lead {
		n += units(text) + 1
	}
	if r.Ask != nil {
		n += units(r.Ask.Text)
	}
	for _, c := range r.Cautions {
		n += units(c.Text) + label
	}
	for _, t := range r.Tables {
		for _, row := range t.Rows {
			for _, c := range row.Cells {
				n += units(c) + 2
			}
		}
	}
	for _, l := range r.Drawing {
		n += units(l) + 1
	}
	for _, items := range [][]reply.Item{r.Read, r.Assumed} {
		for _, i := range items {
			n += units(i.Option) + units(i.Value) + units(i.Why) + 4
		}
	}
	for _, w := range r.Unused {
		n += units(w) + 2
	}
	for _, note := range r.Notes {
		n += units(note.Text) + units(note.Basis.Source) + label
	}
	return n
}

// headOf writes what stands first: what answers, a line that works, and below
// them the cautions.
func headOf(p render.Parts) string {
	lines := p.Lead
	if p.Try != "" {
		lines = append(slices.Clip(lines), p.Try)
	}
	if len(p.Cautions) == 0 {
		return strings.Join(lines, "\n")
	}
	if len(lines) > 0 {
		lines = append(slices.Clip(lines), "")
	}
	return strings.Join(append(lines, p.Cautions...), "\n")
}

// sections shows a text in as many sections as it takes.
func sections(text string) []slack.Block {
	var all []slack.Block
	for _, part := range split(text, mostSection) {
		all = append(all, slack.NewSectionBlock(plainText(part), nil, nil))
	}
	return all
}

// contexts shows a text small, below.
func contexts(text string) []slack.Block {
	var all []slack.Block
	for _, part := range split(text, mostContext) {
		all = append(all, slack.NewContextBlock("", plainText(part)))
	}
	return all
}

func plainText(text string) *slack.TextBlockObject {
	return slack.NewTextBlockObject(slack.PlainTextType, text, false, false)
}

// tableBlock shows a table as one, nil if it is too large for a telephone.
func tableBlock(t reply.Table) slack.Block {
	width := len(t.Head)
	for _, r := range t.Rows {
		width = max(width, len(r.Cells))
	}
	if len(t.Rows) == 0 || len(t.Rows) > mostRows || width > mostColumns || width < 2 {
		return nil
	}
	b := slack.NewTableBlock("")
	n := 0
	add := func(cells []string) {
		row := make([]slack.TableCell, width)
		for i := range row {
			text := " " // an empty cell is refused
			if i < len(cells) && strings.TrimSpace(cells[i]) != "" {
				text = render.Safe(cells[i])
			}
			n += units(text)
			row[i] = slack.NewTableRawTextCell(text)
		}
		b.AddRow(row...)
	}
	if strings.Join(t.Head, "") != "" {
		add(t.Head)
	}
	for _, r := range t.Rows {
		add(r.Cells)
	}
	if n > mostCells/2 {
		return nil
	}
	return b
}

// monospace shows a table as lines of one width.
func monospace(t reply.Table) []slack.Block {
	return monospaced(reply.Reply{Tables: []reply.Table{t}})
}

func monospaced(r reply.Reply) []slack.Block {
	var all []slack.Block
	text := render.Text([]reply.Reply{r}, render.Style{Width: columns})
	for _, part := range split(fenceable(text), mostSection/6) { // escaping makes five of one
		all = append(all, slack.NewSectionBlock(slack.NewTextBlockObject(slack.MarkdownType, fenced(part), false, false), nil, nil))
	}
	return all
}

func fenced(text string) string { return "```\n" + escaped(text) + "\n```" }

// fenceable returns a text that can't end the fence around it.
func fenceable(text string) string {
	return strings.ReplaceAll(strings.TrimRight(text, "\n"), "`", "'")
}

// fallback writes a whole reply for workspaces that refuse blocks, as texts of
// at most mostText units.
func fallback(r reply.Reply) []string {
	text := render.Text([]reply.Reply{r}, render.Style{Width: columns})
	var all []string
	for _, part := range split(fenceable(text), mostText/6) {
		all = append(all, fenced(part))
	}
	return all
}

// escaped escapes the characters of markup, so that a text mentions nobody and
// leads nowhere. https://docs.slack.dev/messaging/formatting-message-text
func escaped(text string) string { return escaper.Replace(text) }

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;")

// split cuts a text into parts of at most so many units, between lines where
// it can.
func split(text string, most int) []string {
	if strings.TrimSpace(text) == "" {
		return nil
	}
	if units(text) <= most {
		return []string{text}
	}
	var parts []string
	from, line, n, since := 0, 0, 0, 0 // line is where the last break was met, since the units after it
	add := func(part string) {
		if strings.TrimSpace(part) != "" {
			parts = append(parts, part)
		}
	}
	for i, r := range text {
		u := max(utf16.RuneLen(r), 1)
		if n+u > most {
			at := i
			if line > from {
				at, n = line, since
			} else {
				n = 0
			}
			add(text[from:at])
			from = at
			if text[from] == '\n' {
				from++
				n--
			}
		}
		n += u
		since += u
		if r == '\n' {
			line, since = i, u
		}
	}
	add(text[from:])
	return parts
}

// clipped cuts a text to so many units and says so.
func clipped(text string, most int) string {
	if units(text) <= most {
		return text
	}
	return strings.ToValidUTF8(split(text, most-1)[0], "") + "…"
}

// units counts a text in UTF-16 units.
func units(text string) int {
	n := 0
	for i := range len(text) {
		if text[i] >= utf8.RuneSelf {
			return n + unitsOf(text[i:])
		}
		n++
	}
	return n
}

func unitsOf(text string) int {
	n := 0
	for _, r := range text {
		n += max(utf16.RuneLen(r), 1)
	}
	return n
}

// weight is about the size of blocks in bytes as they travel, and not less.
func weight(blocks []slack.Block) int {
	const frame = 120 // names, types and marks around a text
	n := 0
	text := func(t string) {
		n += frame + len(t)
		for i := range len(t) {
			switch c := t[i]; {
			case c == '"' || c == '\\':
				n++
			case c < ' ' || c == '<' || c == '>' || c == '&' || c == 0xe2: // U+2028 and its like start so
				n += 5
			}
		}
	}
	for _, b := range blocks {
		n += frame
		switch b := b.(type) {
		case *slack.SectionBlock:
			text(b.Text.Text)
		case *slack.ContextBlock:
			for _, e := range b.ContextElements.Elements {
				if t, ok := e.(*slack.TextBlockObject); ok {
					text(t.Text)
				}
			}
		case *slack.TableBlock:
			for _, row := range b.Rows {
				for _, cell := range row {
					if c, ok := cell.(*slack.TableRawTextCell); ok {
						text(c.Text)
					}
				}
			}
		case *slack.ActionBlock:
			for _, e := range b.Elements.ElementSet {
				if c, ok := e.(*slack.ButtonBlockElement); ok {
					text(c.Value)
					text(c.Text.Text)
				}
			}
		}
	}
	return n
}

// Verbs of buttons stand in their action_id, before a number that keeps the
// buttons of a message apart.
const (
	verbSay   = "say"   // the value is a line to ask
	verbShare = "share" // the value is a line whose public answer is shown to all
	verbOther = "other" // the value is a line and the option to be filled in
)

// keyed marks a value that is the key of a line, not the line.
const keyed = "\x01"

// buttons shows what can be done next: the choices of a question, the actions,
// and the button that shows the answer to all.
func buttons(r reply.Reply, share string, fillable bool, n *int) []slack.Block {
	var elements []slack.BlockElement
	add := func(verb, label, value string) {
		if units(value) > mostValue || len(elements) == mostButtons {
			return
		}
		if strings.TrimSpace(label) == "" {
			label = "…" // an empty label is refused
		}
		*n++
		elements = append(elements, slack.NewButtonBlockElement(verb+"-"+strconv.Itoa(*n), value, plainText(clipped(render.Safe(label), mostLabel))))
	}
	if r.Ask != nil {
		for _, c := range r.Ask.Choices {
			add(verbSay, c.Label, held(c.Line))
		}
		if fillable {
			add(verbOther, "other…", r.Ask.Option+"\n"+r.Line)
		}
	}
	for _, c := range r.Actions {
		add(verbSay, c.Label, held(c.Line))
	}
	if share != "" {
		add(verbShare, "share in channel", held(share))
	}
	if len(elements) == 0 {
		return nil
	}
	return []slack.Block{slack.NewActionBlock("", elements...)}
}

// held is the line, or its key if the line is too long for a button.
func held(line string) string {
	if units(line) <= mostValue {
		return line
	}
	return keyed + commands.OfferKey(line)
}
