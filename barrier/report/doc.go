// Package report prints the result of a check: as a text report that a reviewer
// reads from top to bottom, and as JSON for programs.
//
// A renderer computes nothing: every number it prints stands in the
// check.Result, and it only chooses, orders, rounds and converts units. The text
// report shows for each check id the worst post and the worst bay of each rail,
// and every failing row; the JSON has them all.
//
// Utilisations are rounded up at the third digit, so that one over 1 never reads
// as 1.000. The same result gives the same bytes on any machine.
//
// A function that writes returns the first error of its writer; those of JSON and CSV refuse a
// number that is not finite, too.
package report
