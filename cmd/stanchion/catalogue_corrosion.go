package main

import (
	"slices"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/sections"
)

// corrosivity shows what each category takes of steel and zinc. Rates are told in um a year to
// every reader.
func corrosivity(words []string, _ quantity.System) catalogue {
	um := scale{"um/year", 1, 1}
	rows := []sections.CorrosivityRow{}
	out := sheet{lead: "What open air takes in the first year, by category of ISO 9223, in um.", columns: []column{{"category", 8}, {"corrosivity", 12},
		{"steel\nfrom", 0}, {"\nto", 0}, {"known\nfrom", 8}, {"zinc\nfrom", 0}, {"\nto", 0}, {"known\nfrom", 8}}}
	for _, c := range sections.Corrosivities() {
		r := c.Row()
		if !matches(words, r.Category, r.Words, r.SteelProvenance, r.ZincProvenance) {
			continue
		}
		rows = append(rows, r)
		out.add("", r.Category, r.Words, um.value(r.SteelFrom), um.value(r.SteelTo), r.SteelProvenance, um.value(r.ZincFrom), um.value(r.ZincTo), r.ZincProvenance)
	}
	return catalogue{rows, &out}
}

func corrosivityNames() []choice {
	var names []choice
	for _, c := range sections.Corrosivities() {
		names = append(names, choice{c.Category, c.Words})
	}
	return names
}

// coatings shows the thicknesses of zinc that standards ask for.
func coatings(words []string, _ quantity.System) catalogue {
	um := scale{"um", 1, 0}
	rows := []sections.CoatingRow{}
	out := sheet{lead: "local is the least thickness at a spot, of ASTM that of a single specimen.", columns: []column{{"name", 20}, {"wall", 16},
		um.column("local"), um.column("mean"), {"side", 7}, {"known\nfrom", 8}}}
	for _, c := range sections.Coatings() {
		r := c.Row()
		if !matches(words, r.Name, r.Edition, r.Side, r.Notes, r.Provenance) {
			continue
		}
		rows = append(rows, r)
		out.add(r.Notes, r.Name, strings.TrimSuffix(r.Band, " mm"), um.value(r.LocalUM), um.given(r.MeanUM), r.Side, r.Provenance)
	}
	return catalogue{rows, &out}
}

func coatingNames() []choice {
	var names []choice
	for _, name := range sections.CoatingNames() {
		i := slices.IndexFunc(sections.Coatings(), func(c sections.Coating) bool { return c.Name == name })
		names = append(names, choice{name, sections.Coatings()[i].Notes})
	}
	return names
}
