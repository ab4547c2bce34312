package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/sections"
)

// wallsOf says which walls a call checks: those as new, or those that are left at a year.
type wallsOf struct {
	asked bool
	year  float64
	rate  string
	level sections.RateLevel
}

// years is the value of a flag: a number of years.
type years float64

func (y *years) String() string { return strconv.FormatFloat(float64(*y), 'g', -1, 64) }

func (y *years) Type() string { return "years" }

func (y *years) Set(text string) error {
	number := strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(text, "s"), "year"))
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return errors.New("a number of years is wanted, such as 25")
	}
	*y = years(v)
	return nil
}

// addWalls gives a command --at-year and --rate.
func (w *wallsOf) addWalls(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.Var((*years)(&w.year), "at-year", "check the walls that [exposure] leaves at this `YEAR`")
	flags.StringVar(&w.rate, "rate", "high", "`RATE` of --at-year within the range of [exposure]: low, middle or high")
	// They err only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("at-year", cobra.NoFileCompletions)
	_ = cmd.RegisterFlagCompletionFunc("rate", completeNames(func() []choice { return choices(rateNames()) }))
}

func rateNames() []string {
	var names []string
	for _, level := range sections.RateLevels() {
		names = append(names, level.String())
	}
	return names
}

// take judges the two flags.
func (w *wallsOf) take(cmd *cobra.Command) error {
	w.asked = cmd.Flags().Changed("at-year")
	if !w.asked && cmd.Flags().Changed("rate") {
		return errors.New("--rate is that of a year: write --at-year too, as in --at-year 25 --rate middle")
	}
	level, err := rateNamed(w.rate)
	if err != nil {
		return err
	}
	w.level = level
	if !(w.year >= 0 && w.year <= explore.MostYears) {
		return fmt.Errorf("--at-year %g: a year from 0, as new, to %d is wanted", w.year, explore.MostYears)
	}
	return nil
}

// rateNamed returns the level of a rate.
func rateNamed(name string) (sections.RateLevel, error) {
	for _, level := range sections.RateLevels() {
		if name == level.String() {
			return level, nil
		}
	}
	return 0, fmt.Errorf("unknown rate %q: write %s", name, orOf(rateNames()))
}

// of returns the barrier with the walls that are asked for.
func (w *wallsOf) of(file string, d *barrier.Definition) (*barrier.Definition, error) {
	if !w.asked {
		return d, nil
	}
	if d.Exposure == nil {
		return nil, fmt.Errorf("--at-year %g: %w", w.year, noExposure(file))
	}
	aged, err := d.AtYear(w.year, w.level)
	if err != nil {
		return nil, fmt.Errorf("year %g, %s rate: %w", w.year, w.level, err)
	}
	return aged, nil
}

// noExposure says that a file tells of no weather.
func noExposure(file string) error {
	return fmt.Errorf(`%s has no [exposure], so that nothing says what years take from its walls: add that table, such as category = "C4" and coating = "ISO 1461"`, file)
}
