package commands

import (
	"context"

	"spokeword/commands/read"
	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(ride) }

// mostRideActions is how many riders of a group get a line of their own to ask.
const mostRideActions = 6

// ride prepares a group's sheet, poll or reminder. Until anything is kept it
// says so, and offers each rider's start that can be worked out at once.
func ride(Deps) *spec.Command {
	return &spec.Command{
		Name:    "ride",
		Summary: "Prepare a group ride: a sheet of everybody's pressures, a poll, a reminder",
		Words: w("sheet", "sheet for", "set-up sheet", "setup sheet", "ride sheet", "group ride", "club ride", "remind", "reminder", "remind everyone", "poll", "collect", "from everyone", "who has which",
			de("gruppenausfahrt", "umfrage", "erinnere"), fr("sondage", "rappel", "sortie"), es("encuesta", "recordatorio"), it("sondaggio", "promemoria")),
		Options:  []spec.Option{riders, when, place, ground, ridetemp, riding},
		Wants:    []spec.Want{{Any: []spec.Option{riders, when}, Weight: 0.6}},
		Weight:   0.5,
		Everyday: true,
		Suits:    holdsAny(riders, when, place),
		Examples: []string{"sheet for saturday 6 riders wet rocks 4 °C", "ride ann 62 kg 29x2.35, ben 95 kg 27.5x2.6 insert"},
		Run: func(_ context.Context, req spec.Request) (reply.Reply, error) {
			out := notKept("Group rides", "rides, sheets, polls and reminders")
			p, ok := riders.Of(req)
			if !ok || len(p.Riders) == 0 {
				out.Lead = append(out.Lead, "Let each rider ask for their own start: in a message to the bot alone, nobody else sees the weight.")
				offerWith(&out, req, "a rider's start", "pressure", ground, riding, ridetemp)
				return out, nil
			}
			out.Lead = append(out.Lead, "Each rider's start can be asked at once:")
			for _, m := range p.Riders[:min(len(p.Riders), mostRideActions)] {
				out.Actions = append(out.Actions, reply.Action{Label: "start for " + m.Name, Line: startOf(m, req)})
			}
			return out, nil
		},
	}
}

// startOf is the line that asks for a rider's start, in the ride's conditions.
func startOf(m read.Member, req spec.Request) string {
	fields := []spec.Field{{Option: rider.Name, Text: m.Weight.String()}, {Option: tyreOption.Name, Text: m.Tyre.String()}}
	for _, has := range m.Has {
		if has == "insert" {
			fields = append(fields, spec.Field{Option: insert.Name, Text: "rear"})
			continue
		}
		fields = append(fields, spec.Field{Option: system.Name, Text: has})
	}
	for _, o := range []spec.Option{ground, riding} {
		if g, ok := req.Get(o.About().Name); ok {
			fields = append(fields, spec.Field{Option: o.About().Name, Text: o.Text(g.Value)})
		}
	}
	return spec.Filled("pressure", fields...)
}
