package sections

import (
	"fmt"
	"math"
)

// A Ring is the cross-section of a round tube. The formulas are the exact ones
// of the package comment.
type Ring struct {
	OD     float64 // outside diameter D, m
	Wall   float64 // wall t, m
	Area   float64 // A, m²
	I      float64 // second moment of area about any axis across the tube, m⁴
	J      float64 // St Venant torsion constant 2I, m⁴
	Wel    float64 // elastic section modulus 2I/D, m³ (AISC calls it S)
	Wpl    float64 // plastic section modulus, m³ (AISC calls it Z)
	Wt     float64 // elastic torsion modulus at the outer fibre 2Wel, m³
	Radius float64 // radius of gyration √(I/A), m
}

// A RingError says why a diameter and a wall make no tube section.
type RingError struct{ What string }

func (e *RingError) Error() string { return "no such tube section: " + e.What }

func ringError(format string, args ...any) error {
	return &RingError{What: fmt.Sprintf(format, args...)}
}

// NewRing returns the properties of a round tube from its outside diameter and
// wall, both in m. A wall of half the diameter is a solid bar. It errs when a
// value is not finite, not positive, or the wall is more than half the diameter.
//
// Error: *RingError.
func NewRing(od, wall float64) (Ring, error) {
	for _, v := range []struct {
		name  string
		value float64
	}{{"outside diameter", od}, {"wall", wall}} {
		if math.IsNaN(v.value) || math.IsInf(v.value, 0) {
			return Ring{}, ringError("%s is not a finite number", v.name)
		}
		if v.value <= 0 {
			return Ring{}, ringError("%s must be more than 0, not %g mm", v.name, round9(v.value/mm))
		}
	}
	if wall > od/2 {
		return Ring{}, ringError("wall %g mm is more than half the outside diameter of %g mm", round9(wall/mm), round9(od/mm))
	}
	D, d := od, od-2*wall
	r := Ring{OD: od, Wall: wall}
	// D² - d² and D⁴ - d⁴ by their factors, so that a thin wall loses no digits.
	squares := 4 * wall * (D - wall)
	r.Area = math.Pi / 4 * squares
	r.I = math.Pi / 64 * squares * (D*D + d*d)
	r.J = 2 * r.I
	r.Wel = 2 * r.I / D
	r.Wpl = 2 * wall * (D*D + D*d + d*d) / 6
	r.Wt = 2 * r.Wel
	r.Radius = math.Sqrt(D*D+d*d) / 4
	if r.I == 0 || math.IsInf(r.I, 0) {
		return Ring{}, ringError("outside diameter %g mm and wall %g mm are beyond reckoning", round9(od/mm), round9(wall/mm))
	}
	return r, nil
}

// Mass returns the mass of a metre of tube, in kg/m, from a density in kg/m³.
func (r Ring) Mass(density float64) float64 { return density * r.Area }
