package wheel

import (
	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// Critical returns the factor by which all tension could rise before the rim
// folds sideways in the model, to 0.1 %, at most mostFactor; 0 for a wheel
// without tension. Real rims buckle before, as they are never quite flat.
func (m *Model) Critical() float64 {
	if m.setup.Tension == 0 {
		return 0
	}
	rows := len(m.spokes) * ways
	trial := blas64.SymmetricBand{Uplo: blas.Upper, N: rows, K: band, Stride: band + 1, Data: make([]float64, rows*(band+1))}
	stands := func(factor float64) bool {
		_, _, ok := m.assemble(factor, trial.Data)
		if ok {
			_, ok = lapack64.Pbtrf(trial) // without the condition number, which costs as much
		}
		return ok
	}
	low, high := 1.0, 2.0
	for stands(high) {
		if low, high = high, 2*high; high > mostFactor {
			return mostFactor
		}
	}
	for high-low > 1e-3*low {
		if mid := (low + high) / 2; stands(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

const mostFactor = 64
