package wheel

import "math"

// Six ways of moving at a place on the rim, in its own frame: along the
// tangent in the rolling direction, outwards, to the right, and the turns
// about these three, in metres and radians.
const (
	along = iota
	outward
	rightward
	twist // about the tangent
	yaw   // about the radius
	pitch // about the axle's direction
	ways
)

type vec [ways]float64

type block [ways][ways]float64

// gap is the stretch of rim between two places, condensed to its two ends:
//
//	| a  b | of the earlier and the later end.
//	| bᵀ d |
type gap struct {
	a, b, d block
	// What the middle does: it follows the ends by −before·u − after·u', and
	// gives way by give·f under a load of its own.
	before, after, give block
}

// halvings is how often a gap is halved into straight pieces: 2⁵ of them. The
// next halving changes no stiffness of a common wheel by 0.01 %.
const halvings = 5

// newGap returns the stretch of a ring of the given radius over an angle, under
// the compression force c. A straight piece has the usual stiffness of a slender beam
// (no shear, centroid and shear centre in one) and, for the compression, the
// consistent geometric stiffness in both bending planes; pieces are joined two
// by two and the joint is eliminated. It reports false if a stretch buckles by
// itself.
func newGap(s Section, radius, angle, c float64) (gap, bool) {
	const pieces = 1 << halvings
	g := straight(s, radius, angle/pieces, c)
	for range halvings {
		var ok bool
		if g, ok = g.doubled(); !ok {
			return gap{}, false
		}
	}
	return g, true
}

// doubled joins the gap to its like and eliminates the joint.
func (g *gap) doubled() (gap, bool) {
	var joint block
	for i := range ways {
		for k := range ways {
			joint[i][k] = g.d[i][k] + g.a[i][k]
		}
	}
	give, ok := joint.inverse()
	if !ok {
		return gap{}, false
	}
	var t block // bᵀ
	for i := range ways {
		for k := range ways {
			t[i][k] = g.b[k][i]
		}
	}
	out := gap{before: give.times(&t), after: give.times(&g.b), give: give}
	out.a, out.d = g.a, g.d
	out.b = g.b.times(&out.after)
	fromA, fromD := g.b.times(&out.before), t.times(&out.after)
	for i := range ways {
		for k := range ways {
			out.a[i][k] -= fromA[i][k]
			out.d[i][k] -= fromD[i][k]
			out.b[i][k] = -out.b[i][k]
		}
	}
	return out, true
}

// straight returns one straight piece over a small angle, its ends in their own frames.
func straight(s Section, radius, angle, c float64) gap {
	l := 2 * radius * math.Sin(angle/2)
	var k [2 * ways][2 * ways]float64
	set := func(i, j int, v float64) { k[i][j], k[j][i] = v, v }
	axial := func(i int, v float64) {
		set(i, i, v)
		set(i+ways, i+ways, v)
		set(i, i+ways, -v)
	}
	axial(along, float64(s.Stretch)/l)
	axial(twist, float64(s.Twist)/l)
	// plane is bending of displacement u with turn q; sign is that of dq/du'.
	plane := func(u, q int, sign, ei float64) {
		push, tilt := 12*ei/(l*l*l)-c*36/(30*l), sign*(6*ei/(l*l)-c*3/30)
		near, far := 4*ei/l-c*4*l/30, 2*ei/l+c*l/30
		set(u, u, push)
		set(u+ways, u+ways, push)
		set(u, u+ways, -push)
		set(u, q, tilt)
		set(u, q+ways, tilt)
		set(q, u+ways, -tilt)
		set(u+ways, q+ways, -tilt)
		set(q, q, near)
		set(q+ways, q+ways, near)
		set(q, q+ways, far)
	}
	plane(outward, pitch, 1, float64(s.Radial))
	plane(rightward, yaw, -1, float64(s.Lateral))

	// Into the frames of the ends, turned about the axle's direction by half
	// the angle one way and the other.
	sin, cos := math.Sincos(angle / 2)
	for _, end := range [2]int{0, ways} {
		t := sin
		if end > 0 {
			t = -sin
		}
		for _, at := range [2]int{along, twist} {
			x, y := end+at, end+at+1
			for i := range k {
				k[i][x], k[i][y] = k[i][x]*cos+k[i][y]*t, k[i][y]*cos-k[i][x]*t
			}
			for i := range k {
				k[x][i], k[y][i] = k[x][i]*cos+k[y][i]*t, k[y][i]*cos-k[x][i]*t
			}
		}
	}
	var g gap
	for i := range ways {
		for j := range ways {
			g.a[i][j], g.b[i][j], g.d[i][j] = k[i][j], k[i][j+ways], k[i+ways][j+ways]
		}
	}
	return g
}

func (b *block) times(c *block) block {
	var out block
	for i := range ways {
		for j := range ways {
			for k := range ways {
				out[i][k] += b[i][j] * c[j][k]
			}
		}
	}
	return out
}

func (b *block) of(v *vec) vec {
	var out vec
	for i := range ways {
		for k := range ways {
			out[i] += b[i][k] * v[k]
		}
	}
	return out
}

// transposedOf returns bᵀ·v.
func (b *block) transposedOf(v *vec) vec {
	var out vec
	for i := range ways {
		for k := range ways {
			out[i] += b[k][i] * v[k]
		}
	}
	return out
}

// inverse returns the inverse of a symmetric positive definite block, and
// whether it is one.
func (b *block) inverse() (block, bool) {
	// Forces and moments differ by orders of magnitude: scale the diagonal to 1.
	var scale vec
	for i := range ways {
		if !(b[i][i] > 0) {
			return block{}, false
		}
		scale[i] = 1 / math.Sqrt(b[i][i])
	}
	var l block // lower Cholesky factor
	for i := range ways {
		for k := 0; k <= i; k++ {
			sum := b[i][k] * scale[i] * scale[k]
			for j := range k {
				sum -= l[i][j] * l[k][j]
			}
			if i != k {
				l[i][k] = sum / l[k][k]
				continue
			}
			if sum <= 1e-12 {
				return block{}, false
			}
			l[i][i] = math.Sqrt(sum)
		}
	}
	var out block
	for col := range ways {
		var x vec
		for i := col; i < ways; i++ {
			if i == col {
				x[i] = 1
			}
			for j := col; j < i; j++ {
				x[i] -= l[i][j] * x[j]
			}
			x[i] /= l[i][i]
		}
		for i := ways - 1; i >= 0; i-- {
			for j := i + 1; j < ways; j++ {
				x[i] -= l[j][i] * x[j]
			}
			x[i] /= l[i][i]
			out[i][col] = x[i] * scale[i] * scale[col]
		}
	}
	return out, true
}
