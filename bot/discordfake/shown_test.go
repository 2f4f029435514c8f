package discordfake_test

import (
	"encoding/json"
	"fmt"

	"spokeword/bot/discordfake"
)

func ExampleText() {
	var message discordfake.Message
	err := json.Unmarshal([]byte(`{
		"content": "22 psi front, 25 psi rear",
		"embeds": [{"title": "Start pressures", "fields": [{"name": "Front", "value": "22 psi"}], "footer": {"text": "common practice"}}],
		"components": [{"type": 1, "components": [
			{"type": 2, "style": 2, "label": "in bar", "custom_id": "line in bar"},
			{"type": 2, "style": 2, "label": "share", "custom_id": "line share"}]}]}`), &message)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(discordfake.Text(message))
	for _, b := range discordfake.Buttons(message) {
		fmt.Printf("[%s] %s\n", b.Label, b.CustomID)
	}
	// Output:
	// 22 psi front, 25 psi rear
	// Start pressures
	// Front
	// 22 psi
	// common practice
	// [in bar] line in bar
	// [share] line share
}

func ExampleInputs() {
	form := discordfake.Modal{Title: "Other", Components: []discordfake.Component{
		{Type: discordfake.TypeRow, Components: []discordfake.Component{{Type: discordfake.TypeTextInput, CustomID: "first", Label: "Weight", Value: "80 kg"}}},
		{Type: discordfake.TypeLabel, Label: "Tyre", Component: &discordfake.Component{Type: discordfake.TypeTextInput, CustomID: "second"}},
	}}
	for _, i := range discordfake.Inputs(form) {
		fmt.Printf("%s: %q\n", i.CustomID, i.Value)
	}
	// Output:
	// first: "80 kg"
	// second: ""
}
