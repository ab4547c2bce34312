package sections

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// A printedProperty ties a column of tubes.csv to the computed value.
type printedProperty struct {
	column  string
	name    string                       // in the record, with the unit
	unit    float64                      // what one of the column's unit is in SI
	ofMass  bool                         // on the nominal wall always
	compute func(Ring, Material) float64 // SI
}

const (
	lbPerFt       = 0.45359237 / 0.3048 // kg/m
	lbPerCubicIn  = 0.45359237 / (inch * inch * inch)
	usAluminium   = 0.098 * lbPerCubicIn // kg/m³, the density behind US aluminium pipe weights
	cm            = 1e-2
	cm2, cm3, cm4 = cm * cm, cm * cm * cm, cm * cm * cm * cm
	in2, in3, in4 = inch * inch, inch * inch * inch, inch * inch * inch * inch
)

var printedProperties = []printedProperty{
	{"mass_kg_per_m", "mass, kg/m", 1, true, func(r Ring, m Material) float64 { return r.Mass(m.Density()) }},
	{"area_cm2", "A, cm²", cm2, false, func(r Ring, _ Material) float64 { return r.Area }},
	{"I_cm4", "I, cm⁴", cm4, false, func(r Ring, _ Material) float64 { return r.I }},
	{"Wel_cm3", "Wel, cm³", cm3, false, func(r Ring, _ Material) float64 { return r.Wel }},
	{"Wpl_cm3", "Wpl, cm³", cm3, false, func(r Ring, _ Material) float64 { return r.Wpl }},
	{"i_cm", "i, cm", cm, false, func(r Ring, _ Material) float64 { return r.Radius }},
	{"It_cm4", "It, cm⁴", cm4, false, func(r Ring, _ Material) float64 { return r.J }},
	{"weight_lb_per_ft", "weight, lb/ft", lbPerFt, true, func(r Ring, m Material) float64 {
		if m == Aluminium {
			return r.Mass(usAluminium)
		}
		return r.Mass(m.Density())
	}},
	{"area_in2", "A, in²", in2, false, func(r Ring, _ Material) float64 { return r.Area }},
	{"I_in4", "I, in⁴", in4, false, func(r Ring, _ Material) float64 { return r.I }},
	{"S_in3", "S, in³", in3, false, func(r Ring, _ Material) float64 { return r.Wel }},
	{"Z_in3", "Z, in³", in3, false, func(r Ring, _ Material) float64 { return r.Wpl }},
	{"r_in", "r, in", inch, false, func(r Ring, _ Material) float64 { return r.Radius }},
	{"J_in4", "J, in⁴", in4, false, func(r Ring, _ Material) float64 { return r.J }},
}

// The values that miss the common limit of 1 %, with the reason.
var printedExceptions = []struct {
	tube, column, printed string
	deviation             float64 // printed over exact, less 1, to half a unit of its last digit: 0.01 %
	reason                string
}{
	{"EN 10255 DN20 L2", "mass_kg_per_m", "1.38", -0.0110, "the mass is that of the middle of the OD limits, 26.65 mm, not of 26.9 mm"},
	{"AS 1074 DN20 light", "mass_kg_per_m", "1.38", -0.0110, "the mass is that of the middle of the OD limits, 26.65 mm, not of 26.9 mm"},
	{"ASTM A53 NPS 1 STD", "area_in2", "0.469", +0.0109, "the area does not follow from the rounded design wall; I, S, Z, r and J do"},
}

// printedLimit returns how far the exact value may be from a printed one. EN
// 10210-2 and EN 10219-2 print the exact ring rounded, so half a unit in the last
// digit; elsewhere 1 %; AISC pipe areas 2 %, as five of them are up to 1.7 % high.
func printedLimit(t *testing.T, tube Tube, column, printed string) float64 {
	value := parse(t, printed)
	switch {
	case tube.Standard == "EN 10210-2" || tube.Standard == "EN 10219-2":
		return halfUnit(t, printed) * (1 + 1e-9)
	case tube.Standard == "ASTM A53" && column == "area_in2":
		return 0.02 * value
	}
	return 0.01 * value
}

// Every printed value of the table against the exact ring on the wall it is for.
func TestRingAgainstEveryPrintedValue(t *testing.T) {
	record := verification.New(t, verification.Tubes)
	compared := map[string]int{}
	for i, r := range readTable("tubes.csv") {
		tube := Tubes()[i]
		for _, p := range printedProperties {
			printed := r.text(p.column)
			if printed == "" {
				continue
			}
			compared[tube.Standard]++
			got := p.compute(mustRing(t, tube.OD, printedWall(tube, p)), tube.Material) / p.unit
			if isException(tube.Name, p.column) {
				continue
			}
			record.Add(verification.Comparison{
				Row: tube.Standard, Case: tube.Name + ": " + p.name, Source: tube.Source, Provenance: verification.Provenance(tube.Provenance),
				Theirs: parse(t, printed), Ours: got,
			})
			if limit := printedLimit(t, tube, p.column, printed); math.Abs(got-parse(t, printed)) > limit {
				t.Errorf("%s %s = %.5g, want %s within %.3g (source: %s)", tube.Name, p.column, got, printed, limit, tube.Source)
			}
		}
	}
	// A value that drops out of the table would no longer be compared.
	for standard, want := range map[string]int{
		"EN 10210-2":               245,
		"EN 10219-2":               105,
		"EN 39":                    1,
		"EN 10255":                 14,
		"AS 1074":                  13,
		"AS/NZS 1163":              18,
		"JIS G 3444":               55,
		"ASTM A53":                 56,
		"ASME B36.10M":             44,
		"ASTM A500":                49,
		"ASTM B221 / B429":         10,
		"BS 1139-1.2 / EN 12811":   6,
		"EN 755-8":                 0,
		"EN 10217-7 / EN ISO 1127": 12,
	} {
		if compared[standard] != want {
			t.Errorf("%d printed values of %s compared, want %d", compared[standard], standard, want)
		}
	}
}

// printedWall returns the wall a printed property is for: the design wall where
// the table has one (AISC), but the nominal wall for mass.
func printedWall(tube Tube, p printedProperty) float64 {
	if tube.DesignWall > 0 && !p.ofMass {
		return tube.DesignWall
	}
	return tube.Wall
}

func isException(tube, column string) bool {
	for _, e := range printedExceptions {
		if e.tube == tube && e.column == column {
			return true
		}
	}
	return false
}

// The exceptions are as far off as said, and where the reason is a diameter the
// value follows from it.
func TestPrintedExceptions(t *testing.T) {
	record := verification.New(t, verification.Tubes)
	rows := map[string]row{}
	for _, r := range readTable("tubes.csv") {
		rows[r.text("name")] = r
	}
	for _, e := range printedExceptions {
		r, tube := rows[e.tube], mustTube(t, e.tube)
		if got := r.text(e.column); got != e.printed {
			t.Errorf("%s %s is printed %q, want %q", e.tube, e.column, got, e.printed)
		}
		for _, p := range printedProperties {
			if p.column != e.column {
				continue
			}
			exact := p.compute(mustRing(t, tube.OD, printedWall(tube, p)), tube.Material) / p.unit
			known := verification.Provenance(tube.Provenance)
			record.From("values that miss the limit of 1 %: "+e.reason, tube.Source, known).Add(tube.Name+": "+p.name, parse(t, e.printed), exact)
			if got := parse(t, e.printed)/exact - 1; math.Abs(got-e.deviation) > 0.00005+1e-9 {
				t.Errorf("%s %s is printed %.2f %% off, want %.2f %% (%s)", e.tube, e.column, 100*got, 100*e.deviation, e.reason)
			}
			if !strings.Contains(e.reason, "OD limits") {
				continue
			}
			middle := p.compute(mustRing(t, (tube.ODMin+tube.ODMax)/2, tube.Wall), tube.Material)
			record.From("the same on the middle of the OD limits", tube.Source, known).Add(tube.Name+": "+p.name, parse(t, e.printed), middle)
			if math.Abs(middle-parse(t, e.printed)) > halfUnit(t, e.printed) {
				t.Errorf("%s %s on the middle of the OD limits = %.4f, want %s", e.tube, e.column, middle, e.printed)
			}
		}
	}
}

func parse(t *testing.T, printed string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(printed, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func mustTube(t *testing.T, name string) Tube {
	t.Helper()
	tube, err := FindTube(name)
	if err != nil {
		t.Fatal(err)
	}
	return tube
}
