package wheel_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"spokeword/calc/quantity"
	"spokeword/calc/wheel"
)

// BenchmarkModel makes and solves a wheel of 32 spokes, another each time.
func BenchmarkModel(b *testing.B) {
	s := references(b)["W1_622_32_3x_sym"].setup(b, 1000)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		s.Tension = quantity.Force(900 + i%200)
		_, err := wheel.New(s)
		require.NoError(b, err)
		i++
	}
}

// BenchmarkResponse solves for every nipple.
func BenchmarkResponse(b *testing.B) {
	m, err := wheel.New(references(b)["W1_622_32_3x_sym"].setup(b, 1000))
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		m.Response()
	}
}

// BenchmarkLoad solves for one load.
func BenchmarkLoad(b *testing.B) {
	m, err := wheel.New(references(b)["W1_622_32_3x_sym"].setup(b, 1000))
	require.NoError(b, err)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		_, err := m.Load(wheel.Place{Hole: i % 32}, wheel.Load{Inward: 1000})
		require.NoError(b, err)
		i++
	}
}

// BenchmarkCritical looks for the tension that buckles the rim.
func BenchmarkCritical(b *testing.B) {
	m, err := wheel.New(references(b)["W1_622_32_3x_sym"].setup(b, 1000))
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		m.Critical()
	}
}

// BenchmarkFigures makes a wheel and works out all it is compared by. Budget: 4 ms.
func BenchmarkFigures(b *testing.B) {
	s := references(b)["W1_622_32_3x_sym"].setup(b, 1000)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		s.Tension = quantity.Force(900 + i%200)
		m, err := wheel.New(s)
		require.NoError(b, err)
		m.Figures()
		i++
	}
}
