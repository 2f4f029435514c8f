package slackfake

import "encoding/json"

// table checks what a shape can't say of a table block.
// https://docs.slack.dev/reference/block-kit/blocks/table-block
func table(c *check, at string, m map[string]any) {
	if c.tableN++; c.tableN > tablesMessage.most {
		c.no(at, "only_one_table_allowed")
	}
	if n := c.grid(at+"/rows", m["rows"], tableRows, tableColumns); n > tableText.most {
		c.no(at+"/rows", "must be less than %d characters in all cells", tableText.most+1)
	}
}

// dataTable checks a data_table block, whose first row is the header. More than one
// in a message is taken: the page does not say.
// https://docs.slack.dev/reference/block-kit/blocks/data-table-block
func dataTable(c *check, at string, m map[string]any) {
	if n := c.grid(at+"/rows", m["rows"], dataTableRows, dataTableWidth); n > dataTableText.most {
		c.no(at+"/rows", "must be less than %d characters in all cells", dataTableText.most+1)
	}
}

// grid checks rows of cells and returns the characters in all of them.
func (c *check) grid(at string, v any, rows, columns *limit) (characters int) {
	if v == nil {
		return 0 // said already
	}
	c.list(at, v, 1, rows, func(c *check, at string, v any) {
		c.list(at, v, 1, columns, func(c *check, at string, v any) { characters += c.cell(at, v) })
	})
	return characters
}

// cell checks a cell and returns its characters. An empty one is refused: a space
// must be sent. https://github.com/vellum-ai/vellum-assistant/pull/36219. A null,
// which people's own tables may have, is not documented for bots and refused too.
func (c *check) cell(at string, v any) int {
	m, _ := v.(map[string]any)
	switch m["type"] {
	case "raw_text":
		c.object(at, v, shape{must("type", anything), must("text", str(nil))})
		s, _ := m["text"].(string)
		return units(s)
	case "raw_number":
		c.object(at, v, shape{must("type", anything), must("value", number), may("text", str(nil))})
		n, _ := m["value"].(json.Number)
		return units(n.String())
	case "rich_text":
		c.object(at, v, shape{must("type", anything), must("elements", listed(1, nil, richPart)), may("block_id", blank(blockID))})
		return units(TextOf([]any{v}))
	}
	c.no(at, "unsupported type: %v", m["type"])
	return 0
}

func number(c *check, at string, v any) {
	if _, ok := v.(json.Number); !ok {
		c.no(at, "must be a number")
	}
}

// columnSetting checks how a column looks; null skips a column.
func columnSetting(c *check, at string, v any) {
	if v != nil {
		c.object(at, v, shape{may("align", oneOf("left", "center", "right", "")), may("is_wrapped", boolean)})
	}
}
