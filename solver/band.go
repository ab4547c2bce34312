package solver

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// The stiffness of a frame is a symmetric band of which some is nothing: parts that do not mind each
// other stand one after the other, and in a part not every two neighbours are tied. What follows passes
// over what is nothing. Its rows are short, so that it is nearer than the general routines of a library,
// whose calls cost as much as their sums.

// cholesky returns the upper factor of a copy of the band, whose diagonal is
// raised by a part of itself.
func cholesky(band blas64.SymmetricBand, raise float64) (blas64.TriangularBand, bool) {
	return choleskyIn(nil, band, raise)
}

// choleskyIn does the same in the memory of a factor that is done with.
func choleskyIn(old vector, band blas64.SymmetricBand, raise float64) (blas64.TriangularBand, bool) {
	band.Data = append(old[:0], band.Data...)
	for i := range band.N {
		band.Data[i*band.Stride] *= 1 + raise
	}
	return factoriseIn(band)
}

// factoriseIn overwrites a band with its upper factor U, UᵀU, and reports whether it is positive
// definite: row by row, each taken from those below it as soon as it is known. Source: Golub and
// Van Loan, Matrix Computations, section 4.3.5, from memory.
func factoriseIn(band blas64.SymmetricBand) (blas64.TriangularBand, bool) {
	for i := range band.N {
		row := band.Data[i*band.Stride:][:min(band.K, band.N-1-i)+1]
		if !(row[0] > 0) || math.IsInf(row[0], 1) {
			return blas64.TriangularBand{}, false
		}
		row[0] = math.Sqrt(row[0])
		part := 1 / row[0]
		for j, v := range row[1:] {
			row[1+j] = v * part
		}
		for j, c := range row {
			if j == 0 || c == 0 {
				continue
			}
			from := row[j:]
			to := band.Data[(i+j)*band.Stride:][:len(from)]
			for k, v := range from {
				to[k] -= c * v
			}
		}
	}
	return blas64.TriangularBand{Uplo: blas.Upper, Diag: blas.NonUnit, N: band.N, K: band.K, Stride: band.Stride, Data: band.Data}, true
}

// substitute overwrites x with the solution of UᵀU u = x.
func substitute(u blas64.TriangularBand, x vector) { substituteIn(u, x, make(vector, u.N)) }

// substituteIn does the same in room for as many numbers, whatever they are. Each sum is added up
// as substituteRows does it, to the same last digit.
func substituteIn(u blas64.TriangularBand, x, room vector) {
	x, room = x[:u.N], room[:u.N]
	clear(room)
	for i, v := range x {
		v -= room[i]
		if v == 0 {
			x[i] = 0
			continue
		}
		row := u.Data[i*u.Stride:][:min(u.K, u.N-1-i)+1]
		v /= row[0]
		x[i] = v
		sums := room[i+1:][:len(row)-1]
		for j, c := range row[1:] {
			if c != 0 {
				sums[j] += c * v
			}
		}
	}
	for i := u.N - 1; i >= 0; i-- {
		row := u.Data[i*u.Stride:][:min(u.K, u.N-1-i)+1]
		below, sum := x[i+1:][:len(row)-1], 0.0
		for j, c := range row[1:] {
			if c != 0 {
				sum += c * below[j]
			}
		}
		x[i] = (x[i] - sum) / row[0]
	}
}

// bandTimes sets y to A x.
func bandTimes(a blas64.SymmetricBand, x, y vector) {
	x, y = x[:a.N], y[:a.N]
	clear(y)
	for i, v := range x {
		row := a.Data[i*a.Stride:][:min(a.K, a.N-1-i)+1]
		others, below := x[i+1:][:len(row)-1], y[i+1:][:len(row)-1]
		sum := row[0] * v
		for j, c := range row[1:] {
			if c != 0 {
				below[j] += c * v
				sum += c * others[j]
			}
		}
		y[i] += sum
	}
}
