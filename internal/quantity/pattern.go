package quantity

import (
	"regexp"
	"strings"
)

// Signs of a pattern: white space, and what stands for the dot of a product.
const (
	gap   = "[\\s\u00a0]*"
	dot   = gap + `[-·⋅•*. ]` + gap
	minus = "[-+−–]?"
	whole = `(?:[0-9]+\.?[0-9]*|\.[0-9]+)`
)

// Pattern returns a regular expression, in what RE2 and ECMA-262 have in common, that
// every text which [Parse] reads as a quantity of the dimension fits. What it lets through beside
// is no number with a unit of another dimension.
func (d Dimension) Pattern() string {
	var units []string
	for _, u := range table().units {
		if u.dimension != d.measured() {
			continue
		}
		for _, spelling := range u.spellings {
			units = append(units, spellings(spelling)+`\.?`)
		}
	}
	number := minus + gap + whole + `(?:[eE][-+]?[0-9]+)?`
	if d == Length { // feet and inches, fractions of inches
		number = minus + gap + `(?:` + whole + gap + `(?:ft\.?|feet|foot|['′’])` + gap + `-?` + gap + `)?` + whole + `(?:[eE][-+]?[0-9]+)?(?:(?:` + gap + `[- ]` + gap + `[0-9]+)?/[0-9]+)?`
		units = append(units, "''", "[′’″”]")
	}
	return `^` + gap + number + gap + `(?:` + strings.Join(units, "|") + `)` + gap + `$`
}

// spellings is a pattern of the ways to write a unit, as settle brings them together.
func spellings(unit string) string {
	return strings.NewReplacer(
		`\^`, `\^`, "u", "[uµμ]", "2", `\^?[2²]`, "3", `\^?[3³]`,
		"/", `(?:`+gap+`/`+gap+`|`+gap+`per`+gap+`)`, "-", dot, "·", dot, " ", gap,
	).Replace(regexp.QuoteMeta(unit))
}
