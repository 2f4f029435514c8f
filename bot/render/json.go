package render

import (
	"bytes"
	"encoding/json"
	"math"

	"spokeword/commands/reply"
)

// The object that programs read. Lists are never null; ask and picture are
// null when there is none; more holds the answers to further requests of the
// same line.
type object struct {
	Command  string          `json:"command"`
	Line     string          `json:"line"`
	Title    string          `json:"title"`
	Lead     []string        `json:"lead"`
	Read     []readObject    `json:"read"`
	Assumed  []assumedObject `json:"assumed"`
	Unused   []string        `json:"unused"`
	Ask      *askObject      `json:"ask"`
	Values   []valueObject   `json:"values"`
	Cautions []cautionObject `json:"cautions"`
	Tables   []tableObject   `json:"tables"`
	Notes    []noteObject    `json:"notes"`
	Picture  *string         `json:"picture"`
	Actions  []actionObject  `json:"actions"`
	Private  bool            `json:"private"`
	Error    string          `json:"error"`
	More     []object        `json:"more"`
}

type readObject struct {
	Option string `json:"option"`
	Value  string `json:"value"`
}

type assumedObject struct {
	Option string `json:"option"`
	Value  string `json:"value"`
	Why    string `json:"why"`
}

type askObject struct {
	Option  string         `json:"option"`
	Text    string         `json:"text"`
	Choices []actionObject `json:"choices"`
}

type actionObject struct {
	Label string `json:"label"`
	Line  string `json:"line"`
}

type valueObject struct {
	Name  string   `json:"name"`
	Value any      `json:"value"` // a number, or a string if the unit is ""
	Unit  string   `json:"unit"`
	Low   *float64 `json:"low"` // null without a band
	High  *float64 `json:"high"`
}

type cautionObject struct {
	ID   string `json:"id"`
	Text string `json:"text"`
}

type tableObject struct {
	Title string     `json:"title"`
	Head  []string   `json:"head"`
	Rows  [][]string `json:"rows"`
}

type noteObject struct {
	Text  string `json:"text"`
	Basis string `json:"basis"`
}

// JSON writes the replies to one line as one object without a line break. An
// error's example that works stands among its actions.
func JSON(replies []reply.Reply) []byte {
	var first object
	for i, r := range replies {
		o := objectOf(r)
		if i == 0 {
			first = o
			continue
		}
		first.More = append(first.More, o)
	}
	if len(replies) == 0 {
		first = objectOf(reply.Reply{})
	}
	var b bytes.Buffer
	out := json.NewEncoder(&b)
	out.SetEscapeHTML(false)
	if err := out.Encode(first); err != nil {
		// Only a number that is none could do that, and number keeps them out.
		return []byte(`{"error":"this answer can't be written as JSON"}`)
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}

func objectOf(r reply.Reply) object {
	o := object{
		Command: r.Command, Line: r.Line, Title: r.Title, Private: r.Private, Error: r.Error,
		Lead: list(r.Lead, same), Unused: list(r.Unused, same), More: []object{},
		Read:     list(r.Read, func(i reply.Item) readObject { return readObject{i.Option, i.Value} }),
		Assumed:  list(r.Assumed, func(i reply.Item) assumedObject { return assumedObject{i.Option, i.Value, i.Why} }),
		Values:   list(r.Values, valueOf),
		Cautions: list(r.Cautions, func(c reply.Caution) cautionObject { return cautionObject{c.ID, c.Text} }),
		Tables:   list(r.Tables, tableOf),
		Notes:    list(r.Notes, noteOf),
		Actions:  list(r.Actions, actionOf),
	}
	if r.Ask != nil {
		o.Ask = &askObject{r.Ask.Option, r.Ask.Text, list(r.Ask.Choices, actionOf)}
	}
	if r.Example != "" {
		o.Actions = append(o.Actions, actionObject{"Try", r.Example})
	}
	return o
}

func list[T, U any](all []T, of func(T) U) []U {
	out := make([]U, len(all))
	for i, v := range all {
		out[i] = of(v)
	}
	return out
}

func same(text string) string { return text }

func actionOf(a reply.Action) actionObject { return actionObject(a) }

func noteOf(n reply.Note) noteObject {
	if n.Basis.Kind == 0 {
		return noteObject{Text: n.Text}
	}
	return noteObject{n.Text, n.Basis.String()}
}

func tableOf(t reply.Table) tableObject {
	return tableObject{t.Title, list(t.Head, same), list(t.Rows, func(r reply.Row) []string { return list(r.Cells, same) })}
}

func valueOf(v reply.Value) valueObject {
	o := valueObject{Name: v.Name, Unit: string(v.Unit)}
	if v.Unit == reply.Text {
		o.Value = v.Text
		return o
	}
	if n := number(v.Value); n != nil { // a nil pointer in an any would not be null
		o.Value = *n
	}
	if v.Low != 0 || v.High != 0 {
		o.Low, o.High = number(v.Low), number(v.High)
	}
	return o
}

// number rounds to nine significant digits: more is never true of what is
// answered here, and processors differ in the last ones. What is no number is
// null.
func number(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	if v == 0 {
		return &v
	}
	places := 8 - int(math.Floor(math.Log10(math.Abs(v))))
	if places >= 0 && places <= 22 {
		p := math.Pow10(places)
		v = math.Round(v*p) / p
	}
	return &v
}
