package sayings

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/commands/spec"
)

func TestTablesAreTidy(t *testing.T) {
	all, err := All()
	require.NoError(t, err)
	seen := map[string]bool{}
	languages := map[spec.Lang]int{}
	for _, row := range all {
		languages[row.Lang] += len(row.Words)
		head := strings.Join([]string{row.Lang.Code(), row.Kind, row.Name, row.Value}, " ")
		assert.False(t, seen[head], "%s stands twice", head)
		seen[head] = true
		for _, w := range row.Words {
			assert.Equal(t, strings.ToLower(w), w, head)
			assert.Equal(t, strings.Join(strings.Fields(w), " "), w, head)
		}
		sorted := slices.Sorted(slices.Values(row.Words))
		assert.Len(t, slices.Compact(sorted), len(row.Words), "%s holds a word twice", head)
	}
	assert.Subset(t, []spec.Lang{spec.English, spec.German, spec.French, spec.Spanish, spec.Italian}, slices.Collect(maps.Keys(languages)))
}

func TestWhatIsNoTable(t *testing.T) {
	for text, want := range map[string]string{
		"option rider":       "line 1: want kind name | words",
		"\noption rider | ":  "line 2: want words behind the stroke",
		"value wet | soaked": "line 1: want value option.choice | words",
		"| soaked":           "line 1: want kind name | words",
	} {
		_, err := parse(spec.English, text)
		assert.ErrorContains(t, err, want, text)
	}
	rows, err := parse(spec.French, "# a remark\n\narticle burp | le pneu rote ; ça rote\n")
	require.NoError(t, err)
	require.Len(t, rows, 1)
	assert.Equal(t, "what", rows[0].Name)
	assert.Equal(t, "burp", rows[0].Value)
	assert.Equal(t, []string{"le pneu rote", "ça rote"}, rows[0].Words)
}
