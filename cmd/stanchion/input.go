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
	from, err := open(file)
	if err != nil {
		return nil, err
	}
	data, err := readSome(file, from)
	isPipe := err == nil && len(data) == 0 && pipe(file)
	switch err := errors.Join(err, from.Close()); {
	case err != nil:
		return nil, err
	case isPipe:
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

// open opens a file to be read. A pipe that nothing writes to is not waited for.
func open(file string) (*os.File, error) {
	info, err := os.Stat(file)
	switch {
	case err != nil:
		return nil, reading(file, err)
	case info.IsDir():
		return nil, emptyFolder(file)
	}
	how := os.O_RDONLY
	if pipe(file) {
		how |= syscall.O_NONBLOCK
	}
	from, err := os.OpenFile(file, how, 0)
	if err != nil {
		return nil, reading(file, err)
	}
	return from, nil
}

// pipe reports whether a file is a named pipe.
func pipe(file string) bool {
	info, err := os.Stat(file)
	return err == nil && info.Mode()&fs.ModeNamedPipe != 0
}

// reading says why something could not be read.
func reading(name string, err error) error {
	return fmt.Errorf("reading %s: %w", name, unwrapped(err))
}
