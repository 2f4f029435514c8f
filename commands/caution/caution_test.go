package caution

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"

	"spokeword/commands/reply"
)

// withFacts returns facts with the fields set whose bits are.
func withFacts(bits int) reply.Facts {
	var f reply.Facts
	v := reflect.ValueOf(&f).Elem()
	for i := range v.NumField() {
		v.Field(i).SetBool(bits&(1<<i) != 0)
	}
	return f
}

func TestNeverMoreThanThreeAndTheGravestFirst(t *testing.T) {
	rank := make(map[string]int)
	for i, c := range All() {
		rank[c.ID] = i
	}
	fields := reflect.TypeFor[reply.Facts]().NumField()
	for bits := range 1 << fields {
		due := Due(withFacts(bits))
		if len(due) > 3 {
			t.Fatalf("Due(%+v) = %v cautions, want at most 3", withFacts(bits), len(due))
		}
		for i := 1; i < len(due); i++ {
			if rank[due[i-1].ID] >= rank[due[i].ID] {
				t.Fatalf("Due(%+v) = %q before %q, want the graver first", withFacts(bits), due[i-1].ID, due[i].ID)
			}
		}
	}
}

func TestEveryFactMakesACautionDueAndNoFactNone(t *testing.T) {
	assert.Empty(t, Due(reply.Facts{}))
	facts := reflect.TypeFor[reply.Facts]()
	for i := range facts.NumField() {
		assert.NotEmpty(t, Due(withFacts(1<<i)), "fact %s", facts.Field(i).Name)
	}
}
