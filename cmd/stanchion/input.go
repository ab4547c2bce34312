package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"syscall"

	"example.com/stanchion/barrier"
)

// read returns what a file holds, or standard input for "-": as much as tells whether it is more
// than is read of a file at all, so that one without an end is no matter.
func read(file string, stdin io.Reader) ([]byte, error) {
	if file == "-" {
		return readSome("standard input", stdin)
	}
	from, isPipe, err := open(file)
	if err != nil {
		return nil, err
	}
	data, err := readSome(file, from)
	switch err := errors.Join(err, from.Close()); {
	case err != nil:
		return nil, err
	case isPipe && len(data) == 0:
		return nil, fmt.Errorf("reading %s: nothing was written to that pipe: start what writes to it first, or write - and pipe it in", file)
	}
	return data, nil
}

// readSome reads one byte more than a definition may have, at most.
func readSome(name string, from io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(from, barrier.MaxFileSize+1))
	if err != nil {
		return nil, reading(name, err)
	}
	return data, nil
}

// open opens a file to be read, and reports whether it is a named pipe. One that nothing writes to is not waited for.
func open(file string) (from *os.File, isPipe bool, err error) {
	info, err := os.Stat(file)
	switch {
	case err != nil:
		return nil, false, reading(file, err)
	case info.IsDir():
		return nil, false, emptyFolder(file)
	}
	how := os.O_RDONLY
	isPipe = info.Mode()&fs.ModeNamedPipe != 0
	if isPipe {
		how |= syscall.O_NONBLOCK
	}
	if from, err = os.OpenFile(file, how, 0); err != nil {
		return nil, false, reading(file, err)
	}
	return from, isPipe, nil
}

// reading says why something could not be read.
func reading(name string, err error) error {
	return fmt.Errorf("reading %s: %w", name, unwrapped(err))
}
