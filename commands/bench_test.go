package commands

import (
	"context"
	"fmt"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"spokeword/commands/read"
	"spokeword/commands/spec"
	"spokeword/commands/talk"
)

// The benchmarks take other inputs in each iteration, and give the time as a
// ratio to a bare baseline measured in the same run: formatting one line of the
// same length. Ratios hold from machine to machine, times do not.

// benchLine returns the i-th of many typical lines of a command.
func benchLine(command string, i int) string {
	switch command {
	case "pressure":
		return fmt.Sprintf("%dkg 29x2.%d i%d trail psi?", 55+i%45, 2+i%5, 28+i%6)
	case "air":
		return fmt.Sprintf("%d/%d psi set at 20c riding at -%dc %d m", 18+i%9, 21+i%9, 1+i%15, 500+i%1500)
	case "change":
		return fmt.Sprintf("%d/%d now wet and +%d kg mostly rear %dkg 29x2.%d", 18+i%7, 20+i%7, 4+i%9, 60+i%40, 2+i%5)
	case "measure":
		return fmt.Sprintf("measure rods %d mm between %d mm", 270+i%30, 1+i%40)
	case "fill":
		return fmt.Sprintf("%dg or 2x%dg 29x2.%d i%d", 10+i%12, 5+i%5, 2+i%5, 25+i%10)
	case "fit":
		return fmt.Sprintf("2.%d on %dmm internal ok?", 1+i%7, 22+i%14)
	case "spokes":
		return fmt.Sprintf("erd %d circles 58/%d offsets 3%d,1/20,%d 32h 3x", 540+i%70, 45+i%13, i%9, i%10)
	case "lacing":
		return fmt.Sprintf("lacing %dh %dx circle %d", 24+i%4*4, 1+i%2, 45+i%13)
	case "freehub":
		return fmt.Sprintf("%d vs %d vs %d poe 3%d/5%d", 18+i%18, 54+i%18, 90+i%30, i%5, i%3)
	case "gearing":
		return fmt.Sprintf("3%dt 26x2.%d to 29x2.%d ring? wheelbase 12%d0", i%5, 1+i%3, 2+i%4, i%10)
	case "wheel":
		return fmt.Sprintf("wheel 28 or 32 spokes %dkg", 55+i%60)
	case "tension":
		return fmt.Sprintf("L 62 60 64 70 66 61 59 63 60 62 58 64 66 61 60 %d R 104 99 101 96 110 102 99 97 101 104 103 99 95 96 102 101", 55+i%20)
	case "true":
		return fmt.Sprintf("wobble 0.%d right at 5, 0.6 left at 12", 4+i%5)
	case "plan":
		return fmt.Sprintf("plan %dkg 29 %s", 55+i%45, []string{"xc", "trail", "enduro"}[i%3])
	case "size":
		return fmt.Sprintf("%d-622 in inch", 40+i%30)
	}
	return fmt.Sprintf("1.%d bar in psi", i%100)
}

var benchCommands = []string{"pressure", "change", "air", "fill", "measure", "fit", "spokes", "lacing", "freehub", "gearing", "plan", "size", "convert", "tension", "true", "wheel"}

// baseline is the bare cost of making a line like the ones read.
func baseline(command string) float64 {
	const rounds = 20000
	start := time.Now()
	n := 0
	for i := range rounds {
		n += len(benchLine(command, i))
	}
	if n == 0 {
		return 1
	}
	return float64(time.Since(start)) / rounds
}

func report(b *testing.B, command string, rounds int) {
	b.ReportMetric(float64(b.Elapsed())/float64(rounds)/baseline(command), "x-baseline")
}

// BenchmarkRead: the reader alone. Budget 100 µs.
func BenchmarkRead(b *testing.B) {
	r := newReader(b)
	for _, c := range benchCommands {
		b.Run(c, func(b *testing.B) {
			b.ReportAllocs()
			i := 0
			for b.Loop() {
				if got := r.Read(benchLine(c, i), nil); got.Problem != nil {
					b.Fatal(got.Problem)
				}
				i++
			}
			report(b, c, i)
		})
	}
}

// BenchmarkFind: lines that no phrase or key tells, looked for by their words. Budget
// 300 µs.
func BenchmarkFind(b *testing.B) {
	r := newReader(b)
	noises := []string{"coffee grinder", "bag of nails", "tired violin", "kettle", "duck"}
	found := func(i int) read.Reading {
		return r.Read("my wheel sounds like a "+noises[i%len(noises)]+" on every gravel road", nil)
	}
	found(0) // what finds is made at the first
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		if got := found(i); len(got.Elsewhere) == 0 && len(got.Requests) == 0 {
			b.Fatal(got.Problem)
		}
		i++
	}
	report(b, "pressure", i)
}

// BenchmarkStart: all that a process makes before its first answer.
func BenchmarkStart(b *testing.B) {
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		_, err := NewDesk(Deps{Now: time.Now, Talk: talk.NewMemory(time.Now), Log: func(error) string { return "1" }})
		require.NoError(b, err)
		i++
	}
	report(b, "pressure", i)
}

// BenchmarkAsk: line to reply in process. Budget 300 µs and 400 allocations.
func BenchmarkAsk(b *testing.B) {
	desk, err := NewDesk(Deps{Now: time.Now, Talk: talk.NewMemory(time.Now), Log: func(error) string { return "1" }})
	require.NoError(b, err)
	for _, c := range benchCommands {
		b.Run(c, func(b *testing.B) {
			b.ReportAllocs()
			i := 0
			for b.Loop() {
				// another asker each time: no follow-ups
				who := Asker{User: "U" + strconv.Itoa(i)}
				if r := desk.Ask(context.Background(), who, benchLine(c, i)); len(r) != 1 || r[0].Mistake || r[0].Fault {
					b.Fatal(benchLine(c, i), r)
				}
				i++
			}
			report(b, c, i)
		})
	}
}

// BenchmarkRun: the commands without reading: model and facts. Budget 100 µs.
func BenchmarkRun(b *testing.B) {
	r := newReader(b)
	for _, c := range benchCommands {
		b.Run(c, func(b *testing.B) {
			var requests []spec.Request
			for i := range 64 {
				requests = append(requests, readOne(b, r, benchLine(c, i)))
			}
			b.ReportAllocs()
			i := 0
			for b.Loop() {
				req := requests[i%len(requests)]
				if _, err := req.Command.Run(context.Background(), req); err != nil {
					b.Fatal(err)
				}
				i++
			}
			report(b, c, i)
		})
	}
}
