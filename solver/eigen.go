package solver

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// pencil is the eigenproblem A x = λ B x of two symmetric bands of one width: A positive
// definite and factorised, B of any sign, singular or not. Only positive λ are looked for.
//
// They are found by subspace iteration: the iterates A⁻¹B X are projected on A and B, the
// projected problem is solved dense, and its vectors start the next step. Source: Bathe,
// Finite Element Procedures, section 11.6, from memory. That none was missed is proved by
// counting: A - σB has as many negative pivots as there are λ between 0 and σ (Sylvester's
// law of inertia; Parlett, The Symmetric Eigenvalue Problem, section 3.3, from memory).
type pencil struct {
	a, b   *symmetric
	factor upper   // of a
	shift  float64 // subtracted from every λ: a is A - shift·B
}

const (
	// eigenSettled is the relative rise of a 1/λ in a step below which it has settled. They rise
	// to their limits (Courant and Fischer), so that a fall tells of rounding; but a change of
	// more than eigenMoving, either way, tells that the value is not yet found.
	eigenSettled  = 1e-11
	eigenMoving   = 1e-8
	eigenMaxSteps = 300
	// dependent is the eigenvalue of the iterates' Gram matrix, of unit diagonal, below which
	// a direction is lost in rounding.
	dependent = 1e-11
	// looked is how many times the size of the least λ the others are looked for.
	looked = 1e6
	// proved is the relative distance below a value at which the lesser ones are counted: to
	// that distance each value is proved to have its place, however many are alike.
	proved = 1e-5
	// widest is how many vectors are iterated at most, or as many as are asked for need.
	widest = 200
)

// CountError is a search for critical loads or frequencies whose count could not be proved.
type CountError struct {
	Found   int // values found below one of those found
	Counted int // values that there are, by the inertia of the shifted stiffness; -1 where none settled or it could not tell
}

func (e *CountError) Error() string {
	if e.Counted < 0 {
		return "the search came to no values that could be counted: the stiffnesses of the frame are too far apart, or too many values are alike"
	}
	return fmt.Sprintf("the search found %d values below one where the stiffness counts %d", e.Found, e.Counted)
}

// lowest returns the n least positive λ in order with their vectors, of no given size, or all
// that there are up to 1e6 times the least in size. It returns a *CountError where it cannot
// prove that it has them all.
func (p *pencil) lowest(n int) ([]float64, []vector, error) {
	if p.a.N == 0 || n <= 0 {
		return nil, nil, nil
	}
	source := rand.New(rand.NewPCG(1, 1)) // any start will do, and always the same
	var x []vector
	size := max(2*n, n+8)
	widen := func() {
		for len(x) < min(size, p.a.N) {
			v := make(vector, p.a.N)
			for i := range v {
				v[i] = source.Float64() - 0.5
			}
			x = append(x, v)
		}
	}
	widen()
	largest := max(size, widest)
	var before []float64
	var calm []int // how often each value has come out settled
	found, counted := 0, -1
	q := p
	for step := 1; step <= eigenMaxSteps; step++ {
		theta, vectors := q.iterate(x)
		if len(theta) == 0 {
			return nil, nil, nil // B is nothing
		}
		x = vectors
		if step == 4 {
			if there := p.count(looked / math.Abs(theta[peak(theta)])); there >= 0 {
				n = min(n, there)
			}
		}
		positive := positives(theta)
		calm = calmed(calm, positive, before)
		before = positive
		if step > 4 && len(positive) >= n && (n == 0 || slices.Min(calm[:n]) >= 2) {
			if found, counted = p.prove(positive, n); found == counted {
				return inverses(positive[:n]), vectors[:n], nil
			}
			calm = nil
		}
		if step == 5 || step%15 == 0 {
			q = p.below(positive, n, 1/math.Abs(theta[peak(theta)]), q)
		}
		if step%30 == 0 {
			size = min(2*size, largest)
		}
		widen()
	}
	return nil, nil, &CountError{found, counted}
}

// below returns the problem shifted to just below its least λ, given those found so far
// (1/λ, all of them at most the true ones) and how many are wanted, or as it was where it
// is that near already. The nearer those wanted are to each other the nearer it goes.
func (p *pencil) below(theta []float64, n int, size float64, before *pencil) *pencil {
	if len(theta) > 0 {
		apart := theta[0]/theta[min(n, len(theta)-1)] - 1 // of those wanted and the next
		for _, part := range []float64{1 - min(max(0.1*apart, 1e-4), 0.02), 0.98, 0.9} {
			sigma := part / theta[0]
			if sigma <= before.shift {
				return before
			}
			if q := p.shifted(sigma); q != nil {
				return q
			}
		}
	}
	if q := p.shifted(p.leastFrom(size)); q != nil && q.shift > before.shift {
		return q
	}
	return before
}

// shifted returns the problem with a shift, or nil where A does not stay positive definite.
func (p *pencil) shifted(sigma float64) *pencil {
	q := *p
	q.shift = sigma
	a := p.a.SymmetricBand
	a.Data = slices.Clone(p.a.Data)
	addTo(a.Data, p.b.Data, -sigma)
	q.a = symmetricOf(a)
	factor, ok := cholesky(q.a, 0)
	if !ok {
		return nil
	}
	q.factor = factor
	return &q
}

// leastFrom returns a number a tenth at most below the least λ, which is some way above size,
// by counting; or 0.
func (p *pencil) leastFrom(size float64) float64 {
	low, high := 0.0, size
	for ; p.count(high) == 0; high *= 4 {
		if high > looked*size {
			return 0
		}
		low = high
	}
	for range 40 {
		if high <= 1.1*low {
			break
		}
		middle := 0.5 * (low + high)
		if p.count(middle) == 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// positives returns those of the descending values that are more than rounding.
func positives(theta []float64) []float64 {
	least := math.Abs(theta[peak(theta)]) / looked / 10
	n := 0
	for n < len(theta) && theta[n] > least {
		n++
	}
	return theta[:n]
}

// calmed counts on for each value how often it has come out settled.
func calmed(calm []int, now, before []float64) []int {
	out := make([]int, len(now))
	for i, v := range now {
		if i >= len(before) || math.Abs(v-before[i]) > eigenMoving*v {
			continue
		}
		if i < len(calm) {
			out[i] = calm[i]
		}
		if v-before[i] <= eigenSettled*v {
			out[i]++
		}
	}
	return out
}

func inverses(theta []float64) []float64 {
	out := make([]float64, len(theta))
	for i, t := range theta {
		out[i] = 1 / t
	}
	return out
}

// prove counts by inertia the λ below each of the first n found, of which that many should be
// before it. It returns both numbers where they differ first, or n twice. The values found
// are never below the true ones (Courant and Fischer).
func (p *pencil) prove(theta []float64, n int) (found, counted int) {
	for i := range n {
		if i > 0 && theta[i] > theta[i-1]*(1-2*proved) {
			continue // as good as the one before
		}
		if c := p.count((1 - proved) / theta[i]); c != i {
			return i, c
		}
	}
	return n, n
}

// iterate returns the values θ = 1/λ and the vectors of the problem projected on A⁻¹B x,
// descending, the vectors of unit energy in the shifted problem. Directions that depend on
// the others drop out.
func (p *pencil) iterate(x []vector) ([]float64, []vector) {
	var z, az, bz []vector
	for _, v := range x {
		w := make(vector, p.a.N)
		p.b.times(v, w)
		if norm(w) == 0 {
			continue
		}
		substitute(&p.factor, w)
		aw := make(vector, p.a.N)
		p.a.times(w, aw)
		scale := 1 / math.Sqrt(dot(w, aw))
		if math.IsInf(scale, 0) || math.IsNaN(scale) {
			continue
		}
		scaleBy(w, scale)
		scaleBy(aw, scale)
		bw := make(vector, p.a.N)
		p.b.times(w, bw)
		z, az, bz = append(z, w), append(az, aw), append(bz, bw)
	}
	if len(z) == 0 {
		return nil, nil
	}
	basis := independent(gram(z, az))
	_, r := basis.Dims()
	var half, projected mat.Dense
	half.Mul(gram(z, bz), basis)
	projected.Mul(basis.T(), &half)
	sym := mat.NewSymDense(r, nil)
	for i := range r {
		for j := i; j < r; j++ {
			sym.SetSym(i, j, 0.5*(projected.At(i, j)+projected.At(j, i)))
		}
	}
	values, vectors := eigen(sym)
	slices.Reverse(values) // descending
	for i, v := range values {
		values[i] = v / (1 + p.shift*v) // 1/λ from 1/(λ - shift)
	}
	var mix mat.Dense
	mix.Mul(basis, vectors)
	out := make([]vector, r)
	for k := range out {
		out[k] = make(vector, p.a.N)
		for i, v := range z {
			addTo(out[k], v, mix.At(i, r-1-k))
		}
	}
	return values, out
}

// gram returns the products of two rows of vectors, whose matrix is symmetric.
func gram(x, y []vector) *mat.SymDense {
	g := mat.NewSymDense(len(x), nil)
	for i := range x {
		for j := i; j < len(x); j++ {
			g.SetSym(i, j, dot(x[i], y[j]))
		}
	}
	return g
}

// independent returns combinations, one a column, that are orthonormal under a Gram matrix
// of unit diagonal.
func independent(g *mat.SymDense) *mat.Dense {
	values, vectors := eigen(g)
	first := 0
	for values[first] < dependent {
		first++
	}
	n := len(values)
	out := mat.NewDense(n, n-first, nil)
	for k := first; k < n; k++ {
		for i := range n {
			out.Set(i, k-first, vectors.At(i, k)/math.Sqrt(values[k]))
		}
	}
	return out
}

// eigen returns the eigenvalues, ascending, and vectors of a symmetric matrix.
func eigen(a *mat.SymDense) ([]float64, *mat.Dense) {
	var e mat.EigenSym
	if !e.Factorize(a, true) {
		panic("solver: a projected eigenproblem is not finite")
	}
	var v mat.Dense
	e.VectorsTo(&v)
	return e.Values(nil), &v
}

// count returns how many λ there are between 0 and sigma, or -1 where it cannot tell. It
// moves sigma down a little where a pivot comes out too small for the count to be sure.
func (p *pencil) count(sigma float64) int {
	for try := range 5 {
		if n, sure := p.negativePivots(sigma * (1 - proved*float64(try)/7)); sure {
			return n
		}
	}
	return -1
}

const (
	// mostGrowth is how many times its own stiffness what elimination adds to a freedom and
	// takes away again may come to. A factorisation without exchanges is exact for a matrix
	// that differs by rounding of these sums (Higham, Accuracy and Stability of Numerical
	// Algorithms, theorem 9.3), a small pivot makes them large, and the count is then of
	// another frame. At the bound a billionth of a freedom's stiffness is lost. Of positive
	// pivots, however small, the sums stay below the stiffness itself.
	mostGrowth = 1e7
	// leastPart is the part of such a sum below which its pivot is rounding.
	leastPart = 1e-14
)

// negativePivots factorises A - sigma·B = LDLᵀ in the band, without exchanges, and returns
// how many of D are negative, and whether that is sure.
func (p *pencil) negativePivots(sigma float64) (int, bool) {
	n, k := p.a.N, p.a.K
	stride := k + 1
	m, sums := make(vector, n*stride), make(vector, n)
	for i := range n {
		for j := range min(k, n-1-i) + 1 {
			m[i*stride+j] = p.a.Data[i*p.a.Stride+j] - sigma*p.b.Data[i*p.b.Stride+j]
		}
		sums[i] = math.Abs(m[i*stride])
	}
	negative := 0
	for i := range n {
		row := m[i*stride : (i+1)*stride]
		pivot := row[0]
		own := math.Max(p.a.Data[i*p.a.Stride], sigma*math.Abs(p.b.Data[i*p.b.Stride]))
		if !(sums[i] <= mostGrowth*own && math.Abs(pivot) > leastPart*sums[i]) {
			return 0, false
		}
		if pivot < 0 {
			negative++
		}
		reach := min(k, n-1-i)
		for j := 1; j <= reach; j++ {
			if row[j] == 0 {
				continue
			}
			f := -row[j] / pivot
			sums[i+j] += math.Abs(f * row[j])
			to := m[(i+j)*stride : (i+j)*stride+reach-j+1]
			for q, v := range row[j : reach+1] {
				to[q] += f * v
			}
		}
	}
	return negative, true
}
