// Package sections holds round tubes: the geometry of a ring, the tables of
// tube sizes and of grades, and the wall that a check may count on.
//
// Everything is SI: m, m², m³, m⁴, Pa, kg/m³ and kg/m. A name or a JSON key
// that leaves SI carries its unit (od_mm, fy_MPa).
//
// # Ring
//
// With D outside diameter, t wall and d = D - 2t:
//
//	A   = π (D² - d²)/4        area
//	I   = π (D⁴ - d⁴)/64       second moment of area, any axis across the tube
//	J   = 2 I                  St Venant torsion constant
//	Wel = 2 I/D                elastic modulus
//	Wpl = (D³ - d³)/6          plastic modulus
//	Wt  = 2 Wel                elastic torsion modulus at the outer fibre
//	i   = √(I/A)               radius of gyration
//
// These are exact for a ring. The thin-ring forms are not used: at 33.7x3.6 mm
// they put Wel 10 % too high.
//
// # Tables
//
// tables/tubes.csv, tables/grades.csv and tables/tolerances.csv are embedded
// and read on first use. Each row carries a source and a provenance word:
// public (a public page was read), memory (known, not looked up), derived (own
// arithmetic from stated sources) or common-practice. Provenance speaks of the
// row's size or strength. Properties are always computed from outside diameter
// and wall; the printed ones in tubes.csv serve the tests and nothing else.
//
// # Corrosion
//
// tables/corrosivity.csv has what open air takes in the first year by category of ISO 9223,
// tables/loss_exponents.csv the exponents b of ISO 9224, tables/coatings.csv zinc coatings of tube. With r
// the loss of the first year, D that of t years:
//
//	D = r t^b                                    to the 20th year
//	D = r (20^b + b 20^(b-1) (t - 20))           from then on
//
// A [Surface] loses its zinc first, by that law or linearly, and then its steel, from its first year
// on. The formulas are those of an even loss in open air; pits, crevices, soil and water are
// outside them.
//
// # Sizes
//
// Sizes made to inches are stored from their inches (1.900 in is 48.26 mm, not
// the rounded 48.3 mm).
package sections
