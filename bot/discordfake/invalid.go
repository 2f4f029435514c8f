package discordfake

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"
)

// Refusal is an error answer of the service.
type Refusal struct {
	Status  int            // of HTTP
	Code    int            // of JSON; 0 is general
	Message string         // for people
	Errors  map[string]any // of an Invalid Form Body: the path to each mistake
	// RetryAfter is the pause a 429 asks for.
	RetryAfter time.Duration
	// Global tells that the 429 holds for all paths.
	Global bool
}

// Error tells the code, the message and where the mistakes are.
func (r *Refusal) Error() string {
	text := fmt.Sprintf("HTTP %v, code %v: %s", r.Status, r.Code, r.Message)
	if len(r.Errors) > 0 {
		if b, err := json.Marshal(r.Errors); err == nil {
			text += " " + string(b)
		}
	}
	return text
}

// MarshalJSON writes the body of the answer.
func (r *Refusal) MarshalJSON() ([]byte, error) {
	if r.Status == http.StatusTooManyRequests {
		// https://discord.com/developers/docs/topics/rate-limits#exceeding-a-rate-limit
		return json.Marshal(map[string]any{"message": r.Message, "retry_after": r.RetryAfter.Seconds(), "global": r.Global})
	}
	m := map[string]any{"message": r.Message, "code": r.Code}
	if len(r.Errors) > 0 {
		m["errors"] = r.Errors
	}
	return json.Marshal(m)
}

// Error codes.
// https://discord.com/developers/docs/topics/opcodes-and-status-codes#json-json-error-codes
const (
	CodeUnknownMessage     = 10008
	CodeUnknownWebhook     = 10015
	CodeUnknownInteraction = 10062
	CodeUnknownCommand     = 10063
	CodeTooManyCommands    = 30032
	CodeTooManyCreates     = 30034
	CodeTooLarge           = 40005
	CodeAcknowledged       = 40060
	CodeTooManyFollowUps   = 40094
	CodeMissingAccess      = 50001
	CodeEmptyMessage       = 50006
	CodeMissingPermissions = 50013
	CodeWebhookToken       = 50027
	CodeInvalidForm        = 50035
	CodeInvalidJSON        = 50109
)

// codes gives each code its status and its message.
var codes = map[int]Refusal{
	CodeUnknownMessage:     {Status: http.StatusNotFound, Message: "Unknown Message"},
	CodeUnknownWebhook:     {Status: http.StatusNotFound, Message: "Unknown Webhook"},
	CodeUnknownInteraction: {Status: http.StatusNotFound, Message: "Unknown interaction"},
	CodeUnknownCommand:     {Status: http.StatusNotFound, Message: "Unknown application command"},
	CodeTooManyCommands:    {Status: http.StatusBadRequest, Message: "Maximum number of application commands reached (100)"},
	CodeTooManyCreates:     {Status: http.StatusBadRequest, Message: "Max number of daily application command creates has been reached (200)"},
	CodeTooLarge:           {Status: http.StatusRequestEntityTooLarge, Message: "Request entity too large"},
	CodeAcknowledged:       {Status: http.StatusBadRequest, Message: "Interaction has already been acknowledged."},
	CodeTooManyFollowUps:   {Status: http.StatusBadRequest, Message: "This interaction has reached its maximum number of follow up messages"},
	CodeMissingAccess:      {Status: http.StatusForbidden, Message: "Missing Access"},
	CodeEmptyMessage:       {Status: http.StatusBadRequest, Message: "Cannot send an empty message"},
	CodeMissingPermissions: {Status: http.StatusForbidden, Message: "Missing Permissions"},
	CodeWebhookToken:       {Status: http.StatusUnauthorized, Message: "Invalid Webhook Token"},
	CodeInvalidForm:        {Status: http.StatusBadRequest, Message: "Invalid Form Body"},
	CodeInvalidJSON:        {Status: http.StatusBadRequest, Message: "The request body contains invalid JSON."},
}

// refuse returns the answer of a code.
func refuse(code int) *Refusal {
	r, ok := codes[code]
	if !ok {
		r = Refusal{Status: http.StatusBadRequest, Message: "General error"}
	}
	r.Code = code
	return &r
}

// plain returns an answer without a code of its own.
func plain(status int) *Refusal {
	return &Refusal{Status: status, Message: strconv.Itoa(status) + ": " + http.StatusText(status)}
}

func notFound() *Refusal     { return plain(http.StatusNotFound) }
func unauthorized() *Refusal { return plain(http.StatusUnauthorized) }

// problems are the mistakes found in one request.
type problems struct{ tree map[string]any }

// refusal is the answer to them, nil if there are none.
func (p *problems) refusal() *Refusal {
	if p.tree == nil {
		return nil
	}
	r := refuse(CodeInvalidForm)
	r.Errors = p.tree
	return r
}

// at is a place in a request. Its path is made only when something is wrong.
type at struct {
	all   *problems
	up    *at
	key   string
	index int // used if key is empty
}

func (p *problems) top() *at { return &at{all: p} }

func (a *at) field(name string) *at { return &at{a.all, a, name, 0} }
func (a *at) item(i int) *at        { return &at{a.all, a, "", i} }

// node returns the place's own level of the tree.
func (a *at) node() map[string]any {
	if a.up == nil {
		if a.all.tree == nil {
			a.all.tree = make(map[string]any)
		}
		return a.all.tree
	}
	m := a.up.node()
	key := a.key
	if key == "" {
		key = strconv.Itoa(a.index)
	}
	next, ok := m[key].(map[string]any)
	if !ok {
		next = make(map[string]any)
		m[key] = next
	}
	return next
}

// mistake is one entry of "_errors".
type mistake struct {
	Code    string `json:"code"`
	Message string `json:"message"`
}

// fail notes a mistake here.
func (a *at) fail(code, message string) {
	m := a.node()
	list, _ := m["_errors"].([]mistake)
	m["_errors"] = append(list, mistake{code, message})
}

func (a *at) missing() { a.fail("BASE_TYPE_REQUIRED", "This field is required") }

func (a *at) choice(allowed string) {
	a.fail("BASE_TYPE_CHOICES", "Value must be one of {"+allowed+"}.")
}

// size holds n of something to a range.
func (a *at) size(n, least, most int) {
	switch {
	case n >= least && n <= most:
	case n == 0:
		a.missing()
	case least > 0:
		a.fail("BASE_TYPE_BAD_LENGTH", fmt.Sprintf("Must be between %v and %v in length.", least, most))
	default:
		a.fail("BASE_TYPE_MAX_LENGTH", fmt.Sprintf("Must be %v or fewer in length.", most))
	}
}

// text holds a text to a range of lengths. One of spaces only counts as none.
func (a *at) text(s string, least, most int) {
	if least > 0 && strings.TrimSpace(s) == "" {
		a.missing()
		return
	}
	a.size(Units(s), least, most)
}

// within holds a number to a range.
func (a *at) within(n, least, most int64) {
	if n < least {
		a.fail("NUMBER_TYPE_MIN", fmt.Sprintf("int value should be greater than or equal to %v.", least))
	}
	if n > most {
		a.fail("NUMBER_TYPE_MAX", fmt.Sprintf("int value should be less than or equal to %v.", most))
	}
}

// decode reads the JSON of a request. As the service it does not mind fields it
// does not know.
func decode(body []byte, to any) *Refusal {
	err := json.Unmarshal(body, to)
	var typed *json.UnmarshalTypeError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &typed):
		var p problems
		a := p.top()
		for name := range strings.SplitSeq(typed.Field, ".") {
			if name != "" && name != "payload" { // an embedded struct of ours
				a = a.field(name)
			}
		}
		a.fail("BASE_TYPE_INVALID", "Could not parse "+typed.Value+" as "+typed.Type.String()+".")
		return p.refusal()
	case len(bytes.TrimSpace(body)) == 0:
		return refuse(CodeEmptyMessage)
	default:
		return refuse(CodeInvalidJSON)
	}
}
