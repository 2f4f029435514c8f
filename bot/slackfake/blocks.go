package slackfake

import (
	"slices"
	"strconv"
)

// blockShape is a block and where it may stand.
// https://docs.slack.dev/reference/block-kit/blocks
type blockShape struct {
	where []surface
	shape shape
	more  func(c *check, at string, m map[string]any) // what a shape can't say
}

var everywhere = []surface{inMessage, inModal, inHome}

var blockShapes = map[string]blockShape{
	"section": {everywhere, shape{
		may("text", anyText(sectionText)),
		may("fields", listed(1, sectionFields, anyText(sectionField))),
		may("accessory", element(inSection)),
		may("expand", boolean),
	}, func(c *check, at string, m map[string]any) {
		if m["text"] == nil && m["fields"] == nil {
			c.no(at, "missing required field: text")
		}
	}},
	"header":  {everywhere, shape{must("text", plain(headerText)), may("level", whole(1, nil))}, nil},
	"divider": {everywhere, shape{}, nil},
	"context": {everywhere, shape{must("elements", listed(1, contextItems, contextItem))}, nil},
	"actions": {everywhere, shape{must("elements", func(c *check, at string, v any) {
		c.uniqueActions(at, c.list(at, v, 1, actionsItems, element(inActions)))
	})}, nil},
	"image": {everywhere, shape{
		must("alt_text", str(imageAlt)), may("image_url", publicPicture),
		may("title", plain(imageTitle)), may("slack_file", slackFile),
	}, picture},
	"input": {everywhere, shape{
		must("label", plain(inputLabel)), must("element", element(inInput)), may("hint", plain(inputHint)),
		may("optional", boolean), may("dispatch_action", boolean),
	}, func(c *check, _ string, _ map[string]any) { c.inputs++ }},
	"markdown": {[]surface{inMessage}, shape{must("text", str(nil))}, func(c *check, at string, m map[string]any) {
		s, _ := m["text"].(string)
		if c.markdown += units(s); c.markdown > markdownTotal.most {
			c.no(at+"/text", "must be less than %d characters in all markdown blocks", markdownTotal.most+1)
		}
	}},
	"rich_text": {everywhere, shape{must("elements", listed(1, nil, richPart))}, nil},
	"table": {[]surface{inMessage}, shape{
		must("rows", anything), may("column_settings", listed(0, tableSettings, columnSetting)),
	}, table},
	"data_table": {[]surface{inMessage}, shape{
		must("rows", anything), must("caption", str(nil)), may("page_size", whole(1, nil)), may("row_header_column_index", whole(0, nil)),
	}, dataTable},
}

// blocks checks a list of blocks.
func (c *check) blocks(at string, v any, most *limit) {
	c.ids = make(map[string]bool)
	c.list(at, v, 0, most, (*check).block)
	if c.focus > 1 {
		c.no(at, "focus_on_load set on more than one element")
	}
}

func (c *check) block(at string, v any) {
	m, ok := v.(map[string]any)
	if !ok {
		c.no(at, "must be an object")
		return
	}
	kind, ok := m["type"].(string)
	if !ok {
		c.no(at, "missing required field: type")
		return
	}
	b, ok := blockShapes[kind]
	if !ok || !slices.Contains(b.where, c.surface) || kind == "table" && !c.tables {
		c.no(at+"/type", "unsupported type: %s", kind)
		return
	}
	c.object(at, v, append(shape{must("type", anything), may("block_id", blank(blockID))}, b.shape...))
	if b.more != nil {
		b.more(c, at, m)
	}
	if id, _ := m["block_id"].(string); id != "" {
		if c.ids[id] {
			c.no(at+"/block_id", "`block_id` already exists: %s", id)
		}
		c.ids[id] = true
	}
}

// uniqueActions holds that within a block no two elements have the same action_id.
// https://docs.slack.dev/reference/block-kit/block-elements
func (c *check) uniqueActions(at string, list []any) {
	seen := make(map[string]bool)
	for i, item := range list {
		m, _ := item.(map[string]any)
		id, _ := m["action_id"].(string)
		if id != "" && seen[id] {
			c.no(at+"/"+strconv.Itoa(i)+"/action_id", "`action_id` already exists for another element: %s", id)
		}
		seen[id] = true
	}
}

func contextItem(c *check, at string, v any) {
	if m, ok := v.(map[string]any); ok && m["type"] == "image" {
		element(inContext)(c, at, v)
		return
	}
	anyText(contextText)(c, at, v)
}

var slackFile = shaped(shape{may("id", str(nil)), may("url", str(nil))})

// picture holds that exactly one of two says where a picture is.
func picture(c *check, at string, m map[string]any) {
	if (m["image_url"] == nil) == (m["slack_file"] == nil) {
		c.no(at, "must have exactly one of image_url, slack_file")
	}
}

// rich text: https://docs.slack.dev/reference/block-kit/blocks/rich-text-block
func richPart(c *check, at string, v any) {
	m, _ := v.(map[string]any)
	kind, _ := m["type"].(string)
	s := shape{must("type", anything)}
	switch kind {
	case "rich_text_section":
		s = append(s, must("elements", listed(0, nil, richItem)))
	case "rich_text_preformatted", "rich_text_quote":
		s = append(s, must("elements", listed(0, nil, richItem)), may("border", whole(0, nil)))
	case "rich_text_list":
		s = append(s, must("style", oneOf("bullet", "ordered")), must("elements", listed(1, nil, richPart)),
			may("indent", whole(0, nil)), may("offset", whole(0, nil)), may("border", whole(0, nil)))
	default:
		c.no(at+"/type", "unsupported type: %s", kind)
		return
	}
	c.object(at, v, s)
}

var richItems = map[string]shape{
	"text":      {must("text", str(nil))},
	"link":      {must("url", link(nil)), may("text", blank(nil)), may("unsafe", boolean)},
	"emoji":     {must("name", str(nil)), may("unicode", str(nil)), may("skin_tone", whole(0, nil))},
	"user":      {must("user_id", str(nil))},
	"usergroup": {must("usergroup_id", str(nil))},
	"channel":   {must("channel_id", str(nil))},
	"broadcast": {must("range", oneOf("here", "channel", "everyone"))},
	"color":     {must("value", str(nil))},
	"date":      {must("timestamp", whole(0, nil)), must("format", str(nil)), may("url", link(nil)), may("fallback", str(nil))},
}

var richStyle = shaped(shape{may("bold", boolean), may("italic", boolean), may("strike", boolean), may("code", boolean),
	may("underline", boolean), may("highlight", boolean), may("client_highlight", boolean), may("unlink", boolean)})

func richItem(c *check, at string, v any) {
	m, _ := v.(map[string]any)
	kind, _ := m["type"].(string)
	s, ok := richItems[kind]
	if !ok {
		c.no(at+"/type", "unsupported type: %s", kind)
		return
	}
	c.object(at, v, append(shape{must("type", anything), may("style", richStyle)}, s...))
}
