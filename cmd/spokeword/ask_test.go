package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestALineThatBeginsWithAMinus is a line, and no flag.
func TestALineThatBeginsWithAMinus(t *testing.T) {
	for _, c := range []struct{ args, want []string }{
		{[]string{"ask", "-8 tmrw, 22 in garage 20c"}, []string{"ask", "--", "-8 tmrw, 22 in garage 20c"}},
		{[]string{"ask", "--width", "40", "-5c", "25psi"}, []string{"ask", "--width", "40", "--", "-5c", "25psi"}},
		{[]string{"ask", "--", "-5c"}, []string{"ask", "--", "-5c"}},
		{[]string{"ask", "-"}, []string{"ask", "-"}},
		{[]string{"ask", "--json", "80kg"}, []string{"ask", "--json", "80kg"}},
		{[]string{"serve", "-5"}, []string{"serve", "-5"}},
		{nil, nil},
	} {
		assert.Equal(t, c.want, asLine(c.args))
	}
}
