package explore

import (
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/sections"
)

// LifeCoating is one surface of some tubes, and the years at which nothing protects it any more:
// paint and zinc are gone. Null stands for never.
type LifeCoating struct {
	Elements string   `json:"elements"`        // posts, rail top
	Surface  string   `json:"surface"`         // outside between fittings, outside at fittings, outside at the foot, inside
	Told     bool     `json:"covered"`         // false: at_foot or at_fitting is not given, and the rate is that between fittings
	Times    float64  `json:"rate_multiplier"` // of the rates of the exposure, a plain number
	Zinc     float64  `json:"zinc_um"`         // thickness at year 0
	Paint    float64  `json:"paint_years"`     // before anything is lost under it
	Exposed  bool     `json:"exposed"`         // false: sealed off, nothing is lost
	Low      *float64 `json:"gone_low_year"`
	Middle   *float64 `json:"gone_middle_year"`
	High     *float64 `json:"gone_high_year"`
}

// Gone returns the year at which nothing protects the surface any more, nil for never.
func (c *LifeCoating) Gone(level sections.RateLevel) *float64 {
	return [...]*float64{c.Low, c.Middle, c.High}[level]
}

// sides are the surfaces of one tube.
type sides struct {
	outside, inside sections.Surface
	foot            bool // it has one
}

// coatingsOf returns every surface of the tubes that lose wall, those of like tubes together.
func coatingsOf(d *barrier.Definition) []LifeCoating {
	var all []sides
	var named [][]string
	add := func(name string, m *barrier.Member, foot bool) {
		if m.Grade.Material != sections.Steel && m.Grade.Material != "" {
			return
		}
		outside, inside := d.Surfaces(m)
		s := sides{outside, inside, foot}
		at := slices.Index(all, s)
		if at < 0 {
			at = len(all)
			all, named = append(all, s), append(named, nil)
		}
		named[at] = append(named[at], name)
	}
	add("posts", &d.Post.Member, true)
	for i := range d.Rails {
		add("rail "+d.Rails[i].Name, &d.Rails[i].Member, false)
	}
	for i := range d.Braces {
		add("brace "+quantity.Fix(float64(i+1), 0), &d.Braces[i].Member, true)
	}
	var out []LifeCoating
	for i := range all {
		out = append(out, all[i].coatings(d.Exposure, strings.Join(named[i], ", "))...)
	}
	return merged(out)
}

// coatings returns the surfaces of one kind of tube.
func (s *sides) coatings(e *barrier.Exposure, elements string) []LifeCoating {
	spots := []barrier.Spot{barrier.BetweenFittings, barrier.AtFitting}
	if s.foot {
		spots = append(spots, barrier.AtFoot)
	}
	var out []LifeCoating
	for _, spot := range spots {
		told := spot == barrier.BetweenFittings || spot == barrier.AtFitting && e.AtFitting != nil || spot == barrier.AtFoot && e.AtFoot != nil
		out = append(out, coatingOf(&s.outside, elements, "outside "+spot.String(), e.Times(spot), told))
	}
	return append(out, coatingOf(&s.inside, elements, "inside", 1, true))
}

func coatingOf(of *sections.Surface, elements, surface string, times float64, told bool) LifeCoating {
	gone := func(level sections.RateLevel) *float64 {
		year := quantity.Figures(of.CoatingGone(level, times), 9)
		if math.IsInf(year, 1) {
			return nil
		}
		return &year
	}
	return LifeCoating{
		Elements: elements, Surface: surface, Told: told, Times: times, Zinc: quantity.Figures(of.Coating*1e6, 9), Paint: of.Paint, Exposed: of.Exposed,
		Low: gone(sections.LowRate), Middle: gone(sections.MiddleRate), High: gone(sections.HighRate),
	}
}

// merged joins rows that differ by their elements alone, and puts them by surface.
func merged(rows []LifeCoating) []LifeCoating {
	order := []string{"outside between fittings", "outside at fittings", "outside at the foot", "inside"}
	same := func(a, b *float64) bool { return a == nil && b == nil || a != nil && b != nil && *a == *b }
	var out []LifeCoating
	for _, r := range rows {
		at := slices.IndexFunc(out, func(o LifeCoating) bool {
			return o.Surface == r.Surface && o.Zinc == r.Zinc && o.Paint == r.Paint && o.Times == r.Times && same(o.Low, r.Low) && same(o.High, r.High)
		})
		if at < 0 {
			out = append(out, r)
			continue
		}
		out[at].Elements += ", " + r.Elements
	}
	slices.SortStableFunc(out, func(a, b LifeCoating) int { return slices.Index(order, a.Surface) - slices.Index(order, b.Surface) })
	return out
}
