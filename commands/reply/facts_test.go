package reply

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestFactsJoinEach sets each fact alone: none may be lost beside others.
func TestFactsJoinEach(t *testing.T) {
	for i := range reflect.TypeFor[Facts]().NumField() {
		var one Facts
		reflect.ValueOf(&one).Elem().Field(i).SetBool(true)
		assert.Equal(t, one, one.And(Facts{}))
		assert.Equal(t, one, Facts{}.And(one))
	}
}
