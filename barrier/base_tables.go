package barrier

import (
	"fmt"
	"slices"
	"strconv"
	"sync"

	"example.com/stanchion/internal/quantity"
)

// Soil is a class of ground and what it bears sideways.
type Soil struct {
	Name       string
	Describes  string
	Bearing    float64 // allowable lateral bearing per metre of depth, Pa/m
	Source     string
	Provenance string
}

// Contact is a pair of surfaces and how they rub.
type Contact struct {
	Name        string
	Coefficient float64 // of static friction, dry and indicative; a plain number
	Source      string
	Provenance  string
}

// Soils returns the classes of IBC Table 1806.2.
func Soils() []Soil { return slices.Clone(soils()) }

// Contacts returns the pairs of surfaces whose friction is known.
func Contacts() []Contact { return slices.Clone(contacts()) }

var soils = sync.OnceValue(func() []Soil {
	var out []Soil
	for _, r := range tableRows("soils.csv") {
		psf, err := strconv.ParseFloat(r["bearing_psf_per_ft"], 64)
		if err != nil {
			panic(fmt.Sprintf("barrier: soils.csv: %v", err))
		}
		unit, _, _ := quantity.UnitNamed("psf/ft")
		out = append(out, Soil{Name: r["name"], Describes: r["describes"], Bearing: psf * unit.Scale, Source: r["source"], Provenance: r["provenance"]})
	}
	return out
})

var contacts = sync.OnceValue(func() []Contact {
	var out []Contact
	for _, r := range tableRows("friction.csv") {
		mu, err := strconv.ParseFloat(r["coefficient"], 64)
		if err != nil {
			panic(fmt.Sprintf("barrier: friction.csv: %v", err))
		}
		out = append(out, Contact{Name: r["contact"], Coefficient: mu, Source: r["source"], Provenance: r["provenance"]})
	}
	return out
})
