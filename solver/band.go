package solver

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// The stiffness of a frame is a symmetric band of which most is nothing: parts that do not mind each
// other stand one after the other, and in a part not every two neighbours are tied. Products go over its
// entries alone, a factor goes no further in a row than to its last number that is something. Rows are
// short, so that this is nearer than the general routines of a library, whose calls cost as much as their sums.

// symmetric is a symmetric band and what of it is not zero.
type symmetric struct {
	blas64.SymmetricBand
	entries
}

func symmetricOf(band blas64.SymmetricBand) *symmetric {
	return &symmetric{band, entriesOf(band)}
}

// symmetric returns the stiffness of a frame whose entries are known, assembled again where it is not kept.
func (s *Factored) symmetric() *symmetric { return &symmetric{s.stiffness().RawSymBand(), s.entries} }

// wholeRow returns what row i of a band has room for, from its diagonal on.
func wholeRow(band blas64.SymmetricBand, i int) vector {
	return band.Data[i*band.Stride:][:min(band.K, band.N-1-i)+1]
}

// reached returns a row up to its last number that is something, its diagonal at least.
func reached(row vector) vector {
	n := len(row)
	for n > 1 && row[n-1] == 0 {
		n--
	}
	return row[:n]
}

// upper is the upper factor U of a symmetric band UᵀU, and how far its rows reach.
type upper struct {
	blas64.TriangularBand
	reach []int32
}

func (u *upper) row(i int) vector { return u.Data[i*u.Stride:][:u.reach[i]] }

// cholesky returns the upper factor of a copy of the band, whose diagonal is
// raised by a part of itself.
func cholesky(band *symmetric, raise float64) (upper, bool) {
	return choleskyIn(upper{}, band, raise)
}

// choleskyIn does the same in the memory of a factor that is done with.
func choleskyIn(old upper, band *symmetric, raise float64) (upper, bool) {
	raised := band.SymmetricBand
	raised.Data = append(old.Data[:0], band.Data...)
	if raise != 0 {
		for i := range band.N {
			raised.Data[i*band.Stride] *= 1 + raise
		}
	}
	return factoriseIn(raised, band.reaches(old.reach))
}

// factoriseIn overwrites a band with its upper factor and reports whether it is positive
// definite: row by row, each taken from those below it as soon as it is known. How far the rows of the
// band reach is overwritten with how far those of the factor do. Source: Golub and Van Loan, Matrix
// Computations, section 4.3.5, from memory.
func factoriseIn(band blas64.SymmetricBand, reach []int32) (upper, bool) {
	filled := 0 // by the rows above
	for i, own := range reach {
		below := band.Data[i*band.Stride:]
		row := reached(below[:max(int(own), filled)])
		if !(row[0] > 0) || math.IsInf(row[0], 1) {
			return upper{}, false
		}
		filled = max(len(row), filled) - 1
		reach[i] = int32(len(row))
		row[0] = math.Sqrt(row[0])
		part := 1 / row[0]
		others := row[1:]
		for j, v := range others {
			others[j] = v * part
		}
		eliminate(row, below, band.Stride)
	}
	return upper{blas64.TriangularBand{Uplo: blas.Upper, Diag: blas.NonUnit, N: band.N, K: band.K, Stride: band.Stride, Data: band.Data}, reach}, true
}

// eliminate takes a row of a factor, with which a band begins, from the rows below it.
func eliminate(row, band vector, stride int) {
	for len(row) > 1 {
		row, band = row[1:], band[stride:]
		c := row[0]
		if c == 0 {
			continue
		}
		to := band[:len(row)]
		for k, v := range row {
			to[k] -= c * v
		}
	}
}

// substitute overwrites x with the solution of UᵀU u = x.
func substitute(u *upper, x vector) { substituteIn(u, x, make(vector, u.N)) }

// substituteIn does the same in room for as many numbers, whatever they are. Each sum is added up
// as substituteRows does it, to the same last digit.
func substituteIn(u *upper, x, room vector) {
	data, stride, reach := u.Data, u.Stride, u.reach
	x, room = x[:len(reach)], room[:len(reach)]
	clear(room)
	for i, v := range x {
		v -= room[i]
		if v == 0 {
			x[i] = 0
			continue
		}
		row := data[i*stride:][:reach[i]]
		v /= row[0]
		x[i] = v
		sums := room[i:][:len(row)]
		for j := 1; j < len(row); j++ {
			sums[j] += row[j] * v
		}
	}
	for i := len(x) - 1; i >= 0; i-- {
		row := data[i*stride:][:reach[i]]
		below, sum := x[i:][:len(row)], 0.0
		for j := 1; j < len(row); j++ {
			sum += row[j] * below[j]
		}
		below[0] = (below[0] - sum) / row[0]
	}
}
