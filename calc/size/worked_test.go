package size

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The rows of testdata/worked/examples.csv that speak of marks, each with its
// source beside it.
func TestWorkedExamples(t *testing.T) {
	f, err := os.Open("../../testdata/worked/examples.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	done := 0
	for _, row := range rows[1:] {
		pkg, check, input, expected := row[2], row[3], row[4], row[5]
		if pkg != "size" {
			continue
		}
		done++
		t.Run(row[0], func(t *testing.T) {
			var marks []Mark
			for _, in := range strings.Split(input, "|") {
				m, err := Parse(in)
				require.NoError(t, err)
				marks = append(marks, m)
			}
			var seats []string
			for _, m := range marks {
				for _, s := range m.Seats() {
					seats = append(seats, strconv.Itoa(int(s.MM()+0.5)))
				}
			}
			switch check {
			case "iso":
				m, err := InMillimetres(marks[0])
				require.NoError(t, err)
				assert.Equal(t, expected, m.Written)
			case "seats":
				assert.Equal(t, expected, strings.Join(seats, "|"))
			case "differ":
				assert.Equal(t, expected, strings.Join(seats, "|"))
				assert.Equal(t, DifferentSeat, Compare(marks[0], marks[1]).Relation)
			case "same":
				assert.Equal(t, SameSeat, Compare(marks[0], marks[1]).Relation)
				assert.Equal(t, expected, seats[0])
			default:
				t.Errorf("row %s: no check %q", row[0], check)
			}
		})
	}
	assert.Equal(t, 7, done)
}
