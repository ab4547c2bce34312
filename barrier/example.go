package barrier

import (
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// usExamples pairs what messages give as an example in metric units with what they give
// to US readers: of a like size, and as they would write it.
func usExamples() []string {
	return []string{
		`"0 mm"`, `"0 in"`,
		`"2.4 mm"`, `"0.095 in"`,
		`"2.6 mm"`, `"0.1 in"`,
		`"3.2 mm"`, `"0.145 in"`,
		`"8.5 mm"`, `"0.33 in"`,
		`"10 mm"`, `"0.25 in"`,
		`"0.5 mm"`, `"0.02 in"`,
		`"18 mm"`, `"0.75 in"`,
		`"25 mm"`, `"1 in"`,
		`"47.9 mm"`, `"1.88 in"`,
		`"48.3 mm"`, `"1.9 in"`,
		`"120 mm"`, `"4 in"`,
		`"300 mm"`, `"12 in"`,
		`"200 mm"`, `"8 in"`,
		`"900 mm"`, `"36 in"`,
		`"25 kg"`, `"50 lb"`,
		`"25 MPa"`, `"3.5 ksi"`,
		`"31.4 kPa/m"`, `"200 psf/ft"`,
		`"1100 mm"`, `"42 in"`,
		`"-700 mm"`, `"-28 in"`,
		`"h/120 + 5 mm"`, `"h/120 + 0.25 in"`,
		`"0 m"`, `"0 ft"`,
		`"1.4 m"`, `"5 ft"`,
		`"1.5 m"`, `"5 ft"`,
		`"2.9 m"`, `"10 ft"`,
		`"3 m"`, `"10 ft"`,
		`"4.5 m"`, `"15 ft"`,
		`"5.8 m"`, `"19 ft"`,
		`"6 m"`, `"20 ft"`,
		`"9 m"`, `"30 ft"`,
		`"8 m"`, `"25 ft"`,
		`"4.5 kg/m2"`, `"1 lb/ft2"`,
		`"500 g/m2"`, `"1.8 oz/ft2"`,
		`"1 kN/m2"`, `"25 lbf/ft2"`,
		`"0.45 kN/m2"`, `"10 lbf/ft2"`,
		`"26 m/s"`, `"60 mph"`,
		`"1.25 kg/m3"`, `"0.08 lb/ft3"`,
		`"35 K"`, `"60 degF"`,
		`"45 K"`, `"80 degF"`,
		`"0.9 kN"`, `"200 lbf"`,
		`"0.36 kN/m"`, `"25 lbf/ft"`,
		`"235 MPa"`, `"35 ksi"`,
		`"360 MPa"`, `"60 ksi"`,
		`"4 kNm/rad"`, `"3 kip-ft/rad"`,
		`"7.5 kNm/rad"`, `"5.5 kip-ft/rad"`,
		`"0 kNm/rad"`, `"0 kip-ft/rad"`,
		`"40 kNm/rad"`, `"30 kip-ft/rad"`,
		`"60 kNm/rad"`, `"45 kip-ft/rad"`,
		`"150 kNm/rad"`, `"110 kip-ft/rad"`,
		`"200 kNm/rad"`, `"150 kip-ft/rad"`,
		`"EN 10255 DN40 medium"`, `"ASTM A53 NPS 1-1/2 STD"`,
		`"S195T"`, `"ASTM A53 Grade B"`,
	}
}

// like returns a text of the program's own with its examples in the units of the file. It
// is given with those of usExamples in metric units, and never holds what the user typed.
func (r *reader) like(text string) string {
	if r.def.Units != quantity.US {
		return text
	}
	return strings.NewReplacer(usExamples()...).Replace(text)
}

// scheduleExample is the name of a schedule of the family of the basis.
func (r *reader) scheduleExample() string {
	if r.isAISC() {
		return "ASCE 7-16 general"
	}
	switch r.def.Basis {
	case loads.BasisAS:
		return "AS 1657:2018"
	case loads.BasisCSA:
		return "NBC 2010-2020 general"
	}
	return "EN ISO 14122-3"
}
