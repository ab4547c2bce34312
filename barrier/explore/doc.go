// Package explore answers what a single check asks: it varies a definition, checks each
// variant as package check does, and compares.
//
// Every number that it gives is that of a check of a real layout: posts stand where the
// variant puts them, in whole bays, and nothing is read off a curve between them.
package explore
