package discordfake

import (
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
)

// naming is what names of chat commands and options look like; where a letter
// has a lower case it is used.
// https://discord.com/developers/docs/interactions/application-commands#application-command-object-application-command-naming
var naming = regexp.MustCompile(`^[-_'\p{L}\p{N}\p{Devanagari}\p{Thai}]{1,32}$`)

// Locales are the languages people may set.
// https://discord.com/developers/docs/reference#locales
var locales = map[string]bool{
	"id": true, "da": true, "de": true, "en-GB": true, "en-US": true, "es-ES": true, "es-419": true, "fr": true,
	"hr": true, "it": true, "lt": true, "hu": true, "nl": true, "no": true, "pl": true, "pt-BR": true, "ro": true,
	"fi": true, "sv-SE": true, "vi": true, "tr": true, "cs": true, "el": true, "bg": true, "ru": true, "uk": true,
	"hi": true, "th": true, "zh-CN": true, "ja": true, "zh-TW": true, "ko": true,
}

// checkCommands holds a whole list to its limits. What breaks a limit of the
// application has a code of its own.
func checkCommands(a *at, list []Command) *Refusal {
	count, seen := make(map[int]int), make(map[string]bool)
	for i := range list {
		c := &list[i]
		count[max(c.Type, 1)]++
		if seen[c.key()] {
			a.item(i).field("name").fail("APPLICATION_COMMANDS_DUPLICATE_NAME", "Application command names must be unique")
		}
		seen[c.key()] = true
		c.check(a.item(i))
	}
	if count[1] > maxCommands || count[2] > maxMenuCommands || count[3] > maxMenuCommands {
		return refuse(CodeTooManyCommands)
	}
	return nil
}

func (c *Command) check(a *at) {
	switch c.Type {
	case 0, 1:
		nameAndDescription(a, c.Name, c.Description, c.Names, c.Descriptions)
		checkOptions(a.field("options"), c.Options, 0)
		if n := c.weight(); n > maxCommandTotal {
			a.fail("APPLICATION_COMMAND_TOO_LARGE", fmt.Sprintf("Command exceeds maximum size (%v)", maxCommandTotal))
		}
	case 2, 3:
		a.field("name").text(c.Name, 1, maxName)
		if c.Description != "" {
			a.field("description").fail("APPLICATION_COMMAND_DESCRIPTION", "Context menu commands cannot have a description")
		}
		if len(c.Options) > 0 {
			a.field("options").fail("APPLICATION_COMMAND_OPTIONS", "Context menu commands cannot have options")
		}
	default:
		a.field("type").choice("1, 2, 3")
	}
	few(a.field("integration_types"), c.IntegrationTypes, "0, 1", 1)
	few(a.field("contexts"), c.Contexts, "0, 1, 2", 2)
}

// few holds a list to distinct numbers from 0 to most.
func few(a *at, list []int, allowed string, most int) {
	for i, n := range list {
		if n < 0 || n > most {
			a.item(i).choice(allowed)
		}
		if slices.Contains(list[:i], n) {
			a.fail("SET_TYPE_ALREADY_CONTAINS_VALUE", "The set already contains this value")
		}
	}
}

func nameAndDescription(a *at, name, description string, names, descriptions map[string]string) {
	checkName(a.field("name"), name)
	a.field("description").text(description, 1, maxDescribed)
	for l, n := range names {
		if locale(a.field("name_localizations"), l) {
			checkName(a.field("name_localizations").field(l), n)
		}
	}
	for l, d := range descriptions {
		if locale(a.field("description_localizations"), l) {
			a.field("description_localizations").field(l).text(d, 1, maxDescribed)
		}
	}
}

func locale(a *at, name string) bool {
	if !locales[name] {
		a.field(name).fail("DICTIONARY_TYPE_KEY_INVALID", name+" is not a locale of https://discord.com/developers/docs/reference#locales")
	}
	return locales[name]
}

func checkName(a *at, name string) {
	switch {
	case name == "" || Units(name) > maxName:
		a.size(Units(name), 1, maxName)
	case !naming.MatchString(name) || name != strings.ToLower(name):
		a.fail("APPLICATION_COMMAND_INVALID_NAME", "Command name is invalid")
	}
}

// checkOptions holds the options of a command (depth 0), of a group or
// sub-command below it to what may stand there.
func checkOptions(a *at, list []CommandOption, depth int) {
	a.size(len(list), 0, maxArgs)
	seen, optional, nested := make(map[string]bool), false, 0
	for i := range list {
		o, here := &list[i], a.item(i)
		nameAndDescription(here, o.Name, o.Description, o.Names, o.Descriptions)
		if seen[o.Name] {
			here.field("name").fail("APPLICATION_COMMAND_OPTIONS_NAME_ALREADY_USED", "Option name is already used")
		}
		seen[o.Name] = true
		switch {
		case o.Type == OptionGroup && depth == 0, o.Type == OptionSubCommand && depth < 2:
			nested++
			if o.Type == OptionGroup {
				for j := range o.Options {
					if o.Options[j].Type != OptionSubCommand {
						here.field("options").item(j).field("type").choice("1")
					}
				}
				checkOptions(here.field("options"), o.Options, 1)
			} else {
				checkOptions(here.field("options"), o.Options, 2)
			}
		case o.Type >= OptionString && o.Type <= OptionAttachment:
			if len(o.Options) > 0 {
				here.field("options").fail("APPLICATION_COMMAND_OPTIONS", "Only sub-commands and groups have options")
			}
			if o.Required && optional {
				a.fail("APPLICATION_COMMAND_OPTIONS_REQUIRED_INVALID", "Required options must be placed before non-required options")
			}
			optional = optional || !o.Required
			o.checkValue(here)
		default:
			here.field("type").choice("1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11")
		}
	}
	if nested > 0 && nested < len(list) {
		a.fail("APPLICATION_COMMAND_OPTIONS_TYPE_INVALID", "Sub-command and sub-command group option types are mutually exclusive to all other types")
	}
}

// checkValue holds what limits an option's value to the option's type.
func (o *CommandOption) checkValue(a *at) {
	text, number := o.Type == OptionString, o.Type == OptionInteger || o.Type == OptionNumber
	if o.Autocomplete && len(o.Choices) > 0 {
		a.field("autocomplete").fail("APPLICATION_COMMAND_OPTIONS_AUTOCOMPLETE_CHOICES", "Autocomplete cannot be enabled with choices")
	}
	if (o.Autocomplete || len(o.Choices) > 0) && !text && !number {
		a.fail("APPLICATION_COMMAND_OPTIONS_TYPE_INVALID", "Only options of type 3, 4 and 10 have choices or autocomplete")
	}
	if (o.MinLength != nil || o.MaxLength != nil) && !text {
		a.fail("APPLICATION_COMMAND_OPTIONS_LENGTH_INVALID", "Only options of type 3 have lengths")
	}
	if (o.MinValue != nil || o.MaxValue != nil) && !number {
		a.fail("APPLICATION_COMMAND_OPTIONS_VALUE_INVALID", "Only options of type 4 and 10 have bounds")
	}
	if len(o.ChannelTypes) > 0 && o.Type != OptionChannel {
		a.field("channel_types").fail("APPLICATION_COMMAND_OPTIONS_TYPE_INVALID", "Only options of type 7 have channel types")
	}
	least, most := 0, maxTextLength
	if o.MinLength != nil {
		least = *o.MinLength
		a.field("min_length").within(int64(least), 0, maxTextLength)
	}
	if o.MaxLength != nil {
		most = *o.MaxLength
		a.field("max_length").within(int64(most), 1, maxTextLength)
	}
	if least > most {
		a.field("min_length").fail("NUMBER_TYPE_MAX", "min_length must not be above max_length")
	}
	low, high := -float64(maxExact), float64(maxExact)
	if o.MinValue != nil {
		low = o.number(a.field("min_value"), *o.MinValue)
	}
	if o.MaxValue != nil {
		high = o.number(a.field("max_value"), *o.MaxValue)
	}
	if low > high {
		a.field("min_value").fail("NUMBER_TYPE_MAX", "min_value must not be above max_value")
	}
	checkChoices(a.field("choices"), o.Choices, o.Type, false)
}

// number reads a bound or a choice and holds it to what the type takes.
func (o *CommandOption) number(a *at, n json.Number) float64 { return number(a, n, o.Type) }

func number(a *at, n json.Number, option int) float64 {
	f, err := n.Float64()
	switch {
	case err != nil:
		a.fail("NUMBER_TYPE_COERCE", "Value \""+n.String()+"\" is not a number.")
	case math.Abs(f) > maxExact || (math.Abs(f) == maxExact && beyond(n)):
		a.fail("NUMBER_TYPE_MAX", fmt.Sprintf("Value should lie within ±%v.", int64(maxExact)))
	case option == OptionInteger && f != math.Trunc(f):
		a.fail("NUMBER_TYPE_COERCE", "Value \""+n.String()+"\" is not int.")
	}
	return f
}

// beyond tells numbers apart that lie too near ±2⁵³ for a float64.
func beyond(n json.Number) bool {
	i, err := n.Int64()
	return err == nil && (i > maxExact || i < -maxExact)
}

// checkChoices holds the choices of an option to its type. Answers to an
// autocomplete may be named alike.
func checkChoices(a *at, list []Choice, option int, answers bool) {
	a.size(len(list), 0, maxChoices)
	names := make(map[string]bool)
	for i, c := range list {
		here := a.item(i)
		here.field("name").text(c.Name, 1, maxChoiceName)
		for l, n := range c.Names {
			if locale(here.field("name_localizations"), l) {
				here.field("name_localizations").field(l).text(n, 1, maxChoiceName)
			}
		}
		if names[c.Name] && !answers {
			here.field("name").fail("APPLICATION_COMMAND_OPTIONS_CHOICE_NAME_ALREADY_EXISTS", "Choice name is already used")
		}
		names[c.Name] = true
		value := here.field("value")
		var s string
		switch isText := json.Unmarshal(c.Value, &s) == nil; {
		case len(c.Value) == 0 || string(c.Value) == "null":
			value.missing()
		case isText && option == OptionString:
			value.text(s, 1, maxChoiceValue)
		case isText || option == OptionString:
			value.fail("BASE_TYPE_INVALID", "Value is not of the option's type.")
		default:
			number(value, json.Number(c.Value), option)
		}
	}
}

// weight is how much of the total a command takes: of each text the longest of
// its localisations.
func (c *Command) weight() int {
	return longest(c.Name, c.Names) + longest(c.Description, c.Descriptions) + weigh(c.Options)
}

func weigh(options []CommandOption) int {
	n := 0
	for _, o := range options {
		n += longest(o.Name, o.Names) + longest(o.Description, o.Descriptions) + weigh(o.Options)
		for _, c := range o.Choices {
			n += longest(c.Name, c.Names) + Units(c.Text())
		}
	}
	return n
}

func longest(text string, others map[string]string) int {
	n := Units(text)
	for _, o := range others {
		n = max(n, Units(o))
	}
	return n
}
