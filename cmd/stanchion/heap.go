package main

import (
	"os"
	"runtime"
	"runtime/debug"
)

// roomyHeap lets the heap grow to 64 MB before it is first collected: most calls end below that,
// and each collection of a small heap takes longer than what it frees is worth. From there on
// the heap is collected as ever. A GOGC of the environment stands.
func roomyHeap() {
	const (
		usual = 100
		first = 1600 // percent of the 4 MB from which the runtime counts
	)
	if os.Getenv("GOGC") != "" {
		return
	}
	debug.SetGCPercent(first)
	// The sentinel is garbage at once, so that the first collection finds it.
	sentinel := new([64]byte)
	runtime.AddCleanup(sentinel, func(percent int) { debug.SetGCPercent(percent) }, usual)
}
