package quantity

import (
	"maps"
	"math"
	"slices"
	"testing"

	"example.com/stanchion/internal/verification"
)

// TestFactorsAgainstSP811 compares factors with the seven figures that the
// guide prints.
func TestFactorsAgainstSP811(t *testing.T) {
	const source = "NIST SP 811 (2008) table B.8, figures from memory"
	factors := verification.New(t, verification.Units).From("factors of units to SI", source, verification.Memory)
	for _, c := range []struct {
		unit      string
		dimension Dimension
		want      float64 // SI
		half      float64 // half a unit of the last printed figure
	}{
		{"in", Length, 2.54e-2, 0},
		{"ft", Length, 3.048e-1, 0},
		{"lbf", Force, 4.448222, 0.5e-6},
		{"kip", Force, 4.448222e3, 0.5e-3},
		{"kgf", Force, 9.80665, 0},
		{"lbf/ft", LineLoad, 1.459390e1, 0.5e-5},
		{"lbf/in", LineLoad, 1.751268e2, 0.5e-4},
		{"psi", Pressure, 6.894757e3, 0.5e-3},
		{"ksi", Pressure, 6.894757e6, 0.5},
		{"psf", Pressure, 4.788026e1, 0.5e-5},
		{"lbf-ft", Moment, 1.355818, 0.5e-6},
		{"lbf-in", Moment, 1.129848e-1, 0.5e-7},
		{"deg", Angle, 1.745329e-2, 0.5e-8},
		{"lb/ft3", Density, 1.601846e1, 0.5e-5},
		{"lb", Mass, 4.535924e-1, 0.5e-7},
		{"lb/ft2", AreaMass, 4.882428, 0.5e-6},
		{"oz/ft2", CoatingMass, 3.051517e-1, 0.5e-7},
		{"psf/ft", PressurePerDepth, 4.788026e1 / 0.3048, 0.5e-5 / 0.3048},
		{"mph", Velocity, 4.4704e-1, 0},
		{"kn", Velocity, 5.144444e-1, 0.5e-7},
		{"km/h", Velocity, 2.777778e-1, 0.5e-7},
		{"ft/s", Velocity, 3.048e-1, 0},
		{"degF", Warmth, 5.555556e-1, 0.5e-7},
	} {
		u, d, ok := UnitNamed(c.unit)
		factors.Add(inSI(c.unit, c.dimension), c.want, u.Scale)
		if !ok || d != c.dimension || math.Abs(u.Scale-c.want) > c.half {
			t.Errorf("%s: %v (%v, known %v), want %v ± %v (%v); source: %s", c.unit, u.Scale, d, ok, c.want, c.half, c.dimension, source)
		}
	}
}

// TestFactorsAgainstUnitsProgram compares factors with those that a general
// unit converter works out from its own definitions. It calculates in float64,
// so its last figures may be wrong by a few roundings: 4 of them are 4·2⁻⁵³.
func TestFactorsAgainstUnitsProgram(t *testing.T) {
	const source = "GNU Units 2.22, run with -t -o %.17g"
	factors := verification.New(t, verification.Units).From("factors of units to SI by a unit converter", source, verification.Program)
	for _, c := range []struct {
		unit string
		want float64 // SI
	}{
		{"lbf", 4.4482216152604996},
		{"kip", 4448.2216152604997},
		{"kgf", 9.8066499999999994},
		{"lbf/ft", 14.593902937206366},
		{"lbf/in", 175.12683524647636},
		{"kip/ft", 14593.902937206363},
		{"ksi", 6894757.2931683594},
		{"psi", 6894.7572931683599},
		{"psf", 47.880258980335846},
		{"lbf-ft", 1.3558179483314006},
		{"lbf-in", 0.11298482902761672},
		{"kip-ft", 1355.8179483314004},
		{"kip-in", 112.98482902761671},
		{"lb/ft3", 16.018463373960138},
		{"lb", 0.45359237000000002},
		{"deg", 0.017453292519943295},
		{"kip-ft/deg", 77682.646227475561},
		{"lbf-in/deg", 6.4735538522896308},
		{"kNm/deg", 57295.779513082322},
	} {
		u, d, ok := UnitNamed(c.unit)
		factors.Add(inSI(c.unit, d), c.want, u.Scale)
		if tolerance := 4 * c.want * 0x1p-53; !ok || math.Abs(u.Scale-c.want) > tolerance {
			t.Errorf("%s: %.17g (known %v), want %.17g; source: %s", c.unit, u.Scale, ok, c.want, source)
		}
	}
}

// TestDecimalUnits checks the powers of ten, which are exact.
func TestDecimalUnits(t *testing.T) {
	const source = "SI Brochure, 9th edition, table 7: the prefixes"
	prefixes := verification.New(t, verification.Units).From("powers of ten", source, verification.Derived)
	units := map[string]float64{
		"mm": 1e-3, "m": 1, "cm": 1e-2, "um": 1e-6,
		"N": 1, "kN": 1e3, "MN": 1e6,
		"N/m": 1, "kN/m": 1e3, "N/mm": 1e3,
		"Pa": 1, "kPa": 1e3, "MPa": 1e6, "GPa": 1e9,
		"N/m2": 1, "kN/m2": 1e3, "N/mm2": 1e6, "kN/mm2": 1e9,
		"Nm": 1, "kNm": 1e3, "Nmm": 1e-3,
		"Nm/rad": 1, "kNm/rad": 1e3, "Nmm/rad": 1e-3,
		"rad": 1, "kg/m3": 1, "kg": 1, "kg/m2": 1, "g/m2": 1e-3, "m/s": 1, "K": 1, "degC": 1, "years": 1, "um/year": 1e-6, "mm/year": 1e-3,
	}
	for _, name := range slices.Sorted(maps.Keys(units)) {
		u, d, ok := UnitNamed(name)
		if units[name] != 1 { // what it is told in is no prefix
			prefixes.Add(inSI(name, d), units[name], u.Scale)
		}
		if !ok || u.Scale != units[name] {
			t.Errorf("%s: %v (known %v), want %v; source: %s", name, u.Scale, ok, units[name], source)
		}
	}
}

// inSI names a unit, and the one of its dimension that it is told in.
func inSI(unit string, d Dimension) string {
	for _, u := range table().units {
		if one, _ := u.factor.Float64(); one == 1 && u.dimension == d.measured() {
			return "1 " + unit + ", " + u.name()
		}
	}
	return "1 " + unit
}

// TestSpellings checks that the ways of writing one unit are one.
func TestSpellings(t *testing.T) {
	for _, same := range [][]string{
		{"um", "µm", "μm"},
		{"in", "inch", "inches", `"`, "in."},
		{"ft", "foot", "feet", "'", "ft."},
		{"lbf/ft", "plf", "lbf / ft", "lbf per ft"},
		{"N/mm2", "N/mm²", "N/mm^2"},
		{"psi", "lbf/in2", "lbf/in²"},
		{"Nm", "N·m", "N.m", "N-m", "N m", "N*m", "N⋅m", "N · m"},
		{"kNm", "kN·m", "kN m"},
		{"lbf-ft", "lbf·ft", "lbf ft", "ft-lbf", "ft·lbf", "ft lbf"},
		{"kNm/rad", "kN·m/rad", "kN m / rad", "kNm per rad"},
		{"kg/m3", "kg/m³"},
		{"deg", "°", "degrees"},
		{"m/s", "m / s", "m per s"},
		{"km/h", "kph", "km per h"},
		{"kn", "knot", "knots"},
		{"kg/m2", "kg/m²", "kg/m^2"},
		{"degC", "°C", "deg C"},
		{"years", "year", "yr", "a"},
		{"um/year", "µm/year", "um/a", "µm/yr", "um per year"},
	} {
		want, dimension, _ := UnitNamed(same[0])
		if want.Name != same[0] {
			t.Errorf("%q is named %q", same[0], want.Name)
		}
		for _, spelling := range same {
			u, d, ok := UnitNamed(spelling)
			if !ok || u != want || d != dimension {
				t.Errorf("UnitNamed(%q) = %v, %v, %v; want %v, %v", spelling, u, d, ok, want, dimension)
			}
		}
	}
	for _, name := range []string{"", "x", "KN", "mPa", "lb/ft", "mil", "N/", "/rad", "-", "."} {
		if u, d, ok := UnitNamed(name); ok {
			t.Errorf("UnitNamed(%q) = %v, %v, want none", name, u, d)
		}
	}
}

// TestTableIsWhole checks that every unit is read in each of its spellings, and
// that every unit this package offers in a message or a table is a unit of the
// dimension it is offered for.
func TestTableIsWhole(t *testing.T) {
	for _, u := range table().units {
		for _, spelling := range u.spellings {
			for _, between := range []string{" ", ""} {
				text := "1" + between + spelling
				v, err := Parse(text, u.dimension)
				if scale, _ := u.factor.Float64(); err != nil || v != scale {
					t.Errorf("Parse(%q, %v) = %v, %v, want %v", text, u.dimension, v, err, scale)
				}
			}
		}
		if u.source == "" {
			t.Errorf("%s has no source", u.name())
		}
	}
	of := func(name string, d Dimension) {
		t.Helper()
		if _, found, ok := UnitNamed(name); !ok || found != d.measured() {
			t.Errorf("%q is offered for %v: known %v, measures %v", name, d, ok, found)
		}
	}
	for d := Length; d <= CoatingMass; d++ {
		of(shown(d, Metric).unit, d)
		of(shown(d, US).unit, d)
		for _, size := range []float64{0, 1, 50, 5000, 5e7} {
			of(likelyUnit(size, wanted{d, Metric}), d)
			of(likelyUnit(size, wanted{d, US}), d)
		}
		for _, text := range d.words().examples {
			if _, err := Parse(text, d); err != nil {
				t.Errorf("the example %q of %v is refused: %v", text, d, err)
			}
		}
	}
	for _, e := range everyday() {
		if _, ok := table().find(e.unit); !ok {
			t.Errorf("everyday words point to %q, which is no unit", e.unit)
		}
	}
}

// A name that is found without being settled is the settled spelling of the same unit.
func TestSettledNamesStandStill(t *testing.T) {
	for name := range table().byName {
		if settled := settle(name); settled != name {
			t.Errorf("settle(%q) = %q", name, settled)
		}
	}
}
