package barrier

import (
	"fmt"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/sections"
)

// air is what the air at one side of the tubes takes.
type air struct {
	category    string // of ISO 9223; empty for rates alone
	zinc, steel airMetal
}

// airMetal is what the air takes of one metal.
type airMetal struct {
	rates sections.RateRange // m/year
	known bool
	own   bool   // of the user's
	from  string // where it is from, for the report
}

// isLinear says whether losses in this air are linear unless the user says otherwise.
func (a air) isLinear() bool { return a.category == "CX" || a.zinc.own || a.steel.own }

// readAir reads category and rates. A rate of the user's own stands in place of the category's, and
// what is not given at all is that of the air around.
func (x exposureDraft) readAir(around air) air {
	before, a := len(x.problems), around
	if x.has("category") {
		a = air{category: x.readCategory()}
		if c, ok := sections.FindCorrosivity(a.category); ok {
			a.zinc, a.steel = takenIn(c.Category, c.Zinc), takenIn(c.Category, c.Steel)
		}
	}
	cx, _ := sections.FindCorrosivity("CX")
	c1, _ := sections.FindCorrosivity("C1")
	zinc := metalOfAir{"zinc_rate", "zinc", `"2.5 um/year"`, c1.Zinc.High / 10, cx.Zinc.High}
	steel := metalOfAir{"steel_rate", "steel", `"60 um/year"`, c1.Steel.High / 10, cx.Steel.High}
	x.readRates(zinc, &a.zinc)
	x.readRates(steel, &a.steel)
	switch {
	case len(x.problems) > before || x.misspelt("category") || x.misspelt("steel_rate"):
	case !a.zinc.known && !a.steel.known:
		x.lacks("nothing says what the air takes from the tubes", `add category = "C4", or zinc_rate = "2.5 um/year" and steel_rate = "60 um/year"`)
	case !a.steel.known:
		x.lacks("nothing says what bare steel loses, which it does once the zinc is gone", `add steel_rate = "60 um/year", or category = "C4"`)
	case a.zinc.known:
		x.compareMetals(a)
	}
	return a
}

// needZinc reports a coating whose loss nothing tells of. A rate that could not be read is a fault already.
func (x exposureDraft) needZinc(a air, c coating) {
	if c != (coating{}) && a.steel.known && !a.zinc.known && !x.has("zinc_rate") && !x.misspelt("zinc_rate") {
		x.lacks("nothing says what the zinc of the coating loses", `add zinc_rate = "2.5 um/year", or category = "C4"`)
	}
}

// takenIn is what the air of a category takes of a metal.
func takenIn(category string, band sections.RateBand) airMetal {
	return airMetal{rates: band.Range(), known: true, from: "category " + category + ", " + band.Source}
}

// readCategory reads a category of ISO 9223; empty where it is none.
func (x exposureDraft) readCategory() string {
	var labels []string
	for _, c := range sections.Corrosivities() {
		labels = append(labels, c.Category)
	}
	label, _ := x.label("category", "category", labels, categoryFix(fmt.Sprint(x.values["category"])))
	return label
}

// categoryFix says which category a text most likely stands for.
func categoryFix(text string) string {
	short := strings.ToUpper(strings.Join(strings.Fields(text), ""))
	for _, c := range sections.Corrosivities() {
		if short == c.Category || "C"+short == c.Category || strings.EqualFold(strings.TrimSpace(text), c.Words) {
			return `write "` + c.Category + `"`
		}
	}
	if strings.HasPrefix(short, "C5") {
		return `write "C5", or "CX" for spray of salt water: ISO 9223 no longer parts C5`
	}
	if short == "C6" || short == "6" {
		return `write "CX": so the category beyond C5 is called`
	}
	return `write a category of ISO 9223, "C1" to "C5", or "CX" for the worst air`
}

// metalOfAir is how the rates of a metal are read.
type metalOfAir struct {
	key, called, example string
	least, worst         float64 // m/year: a tenth of what C1 takes at most, and what CX takes at most
}

// readRates reads what is given of a metal: one rate, or low and high.
func (x exposureDraft) readRates(m metalOfAir, to *airMetal) {
	var low, high float64
	var ok bool
	switch value := x.values[m.key].(type) {
	case nil:
		return
	case []any:
		low, high, ok = x.rateRange(m, value)
	default:
		low, ok = x.rate(m, x.at(m.key), value)
		high = low
	}
	if ok && high < m.least {
		path := x.at(m.key)
		x.fault(path, fmt.Sprintf("no air takes as little as %s of %s", rateText(high), m.called),
			x.meant(m, high*1e3)+`category = "C1" has what the mildest air takes`)
		ok = false
	}
	if !ok {
		return
	}
	from := "given"
	if x.has("category") {
		from = "given, in place of that of the category"
	}
	*to = airMetal{rates: sections.Rates(low, high), known: true, own: true, from: from}
}

// rateRange reads low and high.
func (x exposureDraft) rateRange(m metalOfAir, values []any) (low, high float64, ok bool) {
	path := x.at(m.key)
	if len(values) != 2 {
		x.fault(path, fmt.Sprintf("a range has two rates, this list has %d", len(values)), `write low and high, such as ["1.5 um/year", "3 um/year"]`)
		return 0, 0, false
	}
	low, lowOK := x.rate(m, element(path, 0), values[0])
	high, highOK := x.rate(m, element(path, 1), values[1])
	switch {
	case !lowOK || !highOK:
		return 0, 0, false
	case low > high:
		x.fault(path, "the range runs from high to low", "write the lower rate first")
		return 0, 0, false
	case low == high:
		x.fault(path, "both ends of the range are the same", "write one rate, or two that differ")
		return 0, 0, false
	}
	return low, high, true
}

// rate reads one rate, m/year.
func (x exposureDraft) rate(m metalOfAir, path string, value any) (float64, bool) {
	const times = 4 // what the worst air takes, beyond which a rate is a slip (rule of this program)
	v, ok := x.quantityAt(path, value, quantity.Rate)
	switch {
	case !ok:
		return 0, false
	case v < 0:
		x.fault(path, "the rate is negative", "write what is lost a year as a positive rate, such as "+m.example)
		return 0, false
	case v > times*m.worst:
		x.fault(path, fmt.Sprintf("no air takes %s of %s", rateText(v), m.called),
			x.meant(m, v/1e3)+fmt.Sprintf("the worst, category CX, takes up to %s", rateText(m.worst)))
		return 0, false
	}
	return v, true
}

// meant says what a rate may have been meant to be; empty where that is as absurd.
func (x exposureDraft) meant(m metalOfAir, v float64) string {
	if v < m.least || v > m.worst {
		return ""
	}
	return `write "` + rateText(v) + `" if that is meant, 1 mm being 1000 um; `
}

// rateText prints a rate, m/year, to its figures.
func rateText(v float64) string {
	return fmt.Sprintf("%g um/year", quantity.Figures(quantity.In(v, "um/year"), 6))
}

// compareMetals reports zinc that goes faster than steel.
func (x exposureDraft) compareMetals(a air) {
	if a.zinc.rates[sections.HighRate] <= a.steel.rates[sections.HighRate] && a.zinc.rates[sections.LowRate] <= a.steel.rates[sections.LowRate] {
		return
	}
	key, fix := "zinc_rate", "exchange zinc_rate and steel_rate if they stand in each other's place"
	if !a.zinc.own {
		key = "steel_rate"
	}
	if !a.zinc.own || !a.steel.own {
		fix = "write both rates, of one place"
	}
	x.fault(x.at(key), fmt.Sprintf("zinc would lose up to %s and bare steel up to %s, and in open air zinc loses less", rateText(a.zinc.rates[sections.HighRate]), rateText(a.steel.rates[sections.HighRate])), fix)
}
