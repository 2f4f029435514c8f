package discordfake

import "unicode/utf16"

// Units returns the length of a text as limits count it: in UTF-16 code units.
func Units(s string) int {
	n := 0
	for _, r := range s {
		n += max(utf16.RuneLen(r), 1) // what is no character becomes U+FFFD, one unit
	}
	return n
}

// Limits of messages, in characters unless said otherwise.
const (
	// https://discord.com/developers/docs/resources/message#create-message-jsonform-params
	maxContent = 2000
	maxEmbeds  = 10 // embeds
	// Attachments a message may have. From memory.
	maxFiles = 10 // files
	// https://discord.com/developers/docs/resources/message#attachment-object
	maxAlt = 1024
	// https://discord.com/developers/docs/reference#uploading-files
	maxFile = 10 << 20 // bytes
)

// Limits of embeds.
// https://discord.com/developers/docs/resources/message#embed-object-embed-limits
const (
	maxTitle       = 256
	maxDescription = 4096
	maxFields      = 25 // fields
	maxFieldName   = 256
	maxFieldValue  = 1024
	maxFooter      = 2048
	maxAuthor      = 256
	maxEmbedTotal  = 6000 // in all embeds of a message
	// Addresses in embeds. From memory.
	maxURL = 2048
	// A colour is three bytes. https://discord.com/developers/docs/resources/message#embed-object
	maxColour = 0xFFFFFF
)

// Limits of components.
// https://discord.com/developers/docs/components/reference
const (
	maxRows        = 5   // action rows in a message
	maxButtons     = 5   // buttons in a row
	maxLabel       = 80  // of a button
	maxCustomID    = 100 // at least 1
	maxButtonURL   = 512 // of a link button
	maxOptions     = 25  // of a select
	maxOptionText  = 100 // label, value and description of a select's option
	maxPlaceholder = 150 // of a select
	maxSelected    = 25  // values of a select
	maxV2          = 40  // components, nested ones counted, with IS_COMPONENTS_V2
	maxV2Text      = 4000
)

// Limits of modals.
// https://discord.com/developers/docs/interactions/receiving-and-responding#interaction-response-object-modal
// https://discord.com/developers/docs/components/reference#text-input
const (
	maxModalTitle    = 45
	maxModalRows     = 5 // components, at least 1
	maxInput         = 4000
	maxInputLabel    = 45
	maxInputHint     = 100
	maxLabelText     = 45  // of a Label component
	maxLabelMoreText = 100 // its description
)

// Limits of commands.
// https://discord.com/developers/docs/interactions/application-commands
const (
	maxCommands     = 100 // chat commands, global and per guild
	maxMenuCommands = 15  // user commands, and message commands; from memory
	maxCreates      = 200 // commands created in a day, per guild
	maxName         = 32
	maxDescribed    = 100 // description
	maxArgs         = 25  // options of a command, a group or a sub-command
	maxChoices      = 25  // of an option, and of an autocomplete answer
	maxChoiceName   = 100
	maxChoiceValue  = 100
	maxTextLength   = 6000 // min_length and max_length of a string option
	maxExact        = 1 << 53
	// Name, description and value of a command, its options and choices
	// together, of localisations the longest. From memory: it was 4000 once.
	maxCommandTotal = 8000
)

// Limits of interactions.
// https://discord.com/developers/docs/interactions/receiving-and-responding
const (
	maxFollowUps = 5 // of an app installed for a user only
)
