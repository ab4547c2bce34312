package sections

import (
	"fmt"
	"math"
	"sync"
)

// RateLevel is a place within the range of a corrosion rate.
type RateLevel int

// The levels, from the one at which least is lost.
const (
	LowRate RateLevel = iota
	MiddleRate
	HighRate
)

// RateLevels returns the levels in order.
func RateLevels() [3]RateLevel { return [3]RateLevel{LowRate, MiddleRate, HighRate} }

// String returns the word for the level: low, middle or high.
func (l RateLevel) String() string { return [...]string{"low", "middle", "high"}[l] }

// RateRange is what a metal loses in its first year, m/year, at each RateLevel.
type RateRange [3]float64

// Rates returns the range between two rates, m/year: its middle is their arithmetic mean.
func Rates(low, high float64) RateRange { return RateRange{low, (low + high) / 2, high} }

// LossLaw says how a loss grows with the years.
type LossLaw string

// The laws.
const (
	MeanExponent  LossLaw = "mean"     // ISO 9224, B1
	UpperExponent LossLaw = "upper"    // ISO 9224, B2: two standard deviations above
	LinearLaw     LossLaw = "linear"   // the first year's rate for ever
	CautiousLaw   LossLaw = "cautious" // zinc linear, as ISO 14713-1 quotes lives (from memory); steel by B2
)

// Metal is what the air takes from a tube.
type Metal string

// The metals of the tables of corrosion.
const (
	Zinc           Metal = "zinc"
	CarbonSteel    Metal = "carbon steel"
	AluminiumMetal Metal = "aluminium"
)

// settling is the year from which the rate of ISO 9224 no longer falls.
const settling = 20

// Exponent returns b of a law for a metal: 1 where its loss is linear.
func (l LossLaw) Exponent(m Metal) float64 {
	switch e := lossExponents()[m]; l {
	case MeanExponent:
		return e.Mean
	case UpperExponent:
		return e.Upper
	case CautiousLaw:
		if m != Zinc {
			return e.Upper
		}
	}
	return 1
}

// Factor returns what a metal has lost after some years as a multiple of what it loses in the
// first: t^b to the 20th year and the tangent there from then on (ISO 9224:2012); t for the
// linear law. It is 0 for a time that is not positive.
func (l LossLaw) Factor(m Metal, years float64) float64 {
	b := l.Exponent(m)
	switch {
	case !(years > 0):
		return 0
	case years <= settling || b == 1:
		return math.Pow(years, b)
	}
	return math.Pow(settling, b) + settledRate(b)*(years-settling)
}

// Years returns after how many years the factor is reached: the inverse of Factor.
func (l LossLaw) Years(m Metal, factor float64) float64 {
	b := l.Exponent(m)
	reached := math.Pow(settling, b)
	switch {
	case !(factor > 0):
		return 0
	case factor <= reached || b == 1:
		return math.Pow(factor, 1/b)
	}
	return settling + (factor-reached)/settledRate(b)
}

// settledRate is the rate from the 20th year on, as a multiple of that of the first year.
func settledRate(b float64) float64 { return b * math.Pow(settling, b-1) }

// LossExponent is a row of the table of exponents: those of ISO 9224 for a metal.
type LossExponent struct {
	Metal              Metal
	Mean, Upper        float64 // B1 and B2
	Source, Provenance string
}

// LossExponents returns the table of exponents in document order.
func LossExponents() []LossExponent {
	rows := readTable("loss_exponents.csv")
	out := make([]LossExponent, 0, len(rows))
	for _, r := range rows {
		out = append(out, LossExponent{
			Metal: Metal(r.text("metal")), Mean: r.number("mean"), Upper: r.number("upper"),
			Source: r.text("source"), Provenance: r.text("provenance"),
		})
	}
	return out
}

var lossExponents = sync.OnceValue(func() map[Metal]LossExponent {
	byMetal := map[Metal]LossExponent{}
	for _, e := range LossExponents() {
		byMetal[e.Metal] = e
	}
	return byMetal
})

// Surface is one side of a tube: what protects it and what it loses.
type Surface struct {
	Exposed bool      // false: nothing is lost there, sealed off
	Coating float64   // zinc, m; 0 for none
	Zinc    RateRange // what the zinc loses in its first year, m/year
	Steel   RateRange // what the steel loses in its first year bare, m/year
	Law     LossLaw
	Paint   float64 // years before anything is lost under a paint system; 0 for none
}

// CoatingGone returns the year at which the zinc is gone where rates are multiplied by times
// (1 for none): +Inf where it never is, and where the surface is not exposed. Without zinc it
// is the year at which the paint is gone, 0 without that.
func (s *Surface) CoatingGone(level RateLevel, times float64) float64 {
	rate := s.Zinc[level] * times
	switch {
	case !s.Exposed:
		return math.Inf(1)
	case s.Coating == 0:
		return s.Paint
	case rate == 0:
		return math.Inf(1)
	}
	return s.Paint + s.Law.Years(Zinc, s.Coating/rate)
}

// Loss returns what a surface has lost of its steel at a year, m: nothing while the paint
// system and then the zinc stand, from then on by its law. The steel begins with its first year
// where the zinc is gone (ISO 14713-1, from memory: none of it counts as lost before).
func (s *Surface) Loss(year float64, level RateLevel, times float64) float64 {
	bare := year - s.CoatingGone(level, times)
	if !(bare > 0) {
		return 0
	}
	return s.Steel[level] * times * s.Law.Factor(CarbonSteel, bare)
}

// Worn returns the ring that is left when the outside and the inside have lost so much of their
// metal, both in m. It errs where no wall is left.
//
// Error: *RingError.
func (r Ring) Worn(outside, inside float64) (Ring, error) {
	wall := r.Wall - outside - inside
	if !(wall > 0) {
		return Ring{}, ringError("no wall is left of %g mm", round9(r.Wall/mm))
	}
	if outside == 0 && inside == 0 {
		return r, nil
	}
	worn, err := NewRing(r.OD-2*outside, wall)
	if err != nil {
		return Ring{}, fmt.Errorf("worn: %w", err)
	}
	return worn, nil
}
