// Package discordfake is Discord on loopback: its REST API, its gateway and its
// calls to an interactions URL, as strict as the service where a bot would
// notice, for tests, benchmarks and a local page. Nothing in it reaches the
// network beyond 127.0.0.1.
//
// # Where its rules are from
//
// Each limit stands in limits.go beside the address of the page that states it.
// The numeric error codes are those of
// https://discord.com/developers/docs/topics/opcodes-and-status-codes. The words
// inside "errors" of an Invalid Form Body (BASE_TYPE_REQUIRED and the like) are
// shown by example only, at https://discord.com/developers/docs/reference#error-messages;
// those that are not shown there are from memory, so a bot should not look at them.
//
// # How lengths are counted
//
// The pages say "characters" and do not define them. Lengths are counted here in
// UTF-16 code units, as a JavaScript client counts; that is never less than the
// number of code points, so what passes here passes by either reading. White
// space at the ends counts, though the service trims it in some places.
//
// # What is not here
//
// No real service was asked: where documentation is silent the fake does what is
// said from memory beside the code. There are no rate limits but those a Fault
// sets, no permissions, no channels' messages, no voice.
package discordfake
