// Films: what options come to, a program beside that makes one, and what is read back
// of a file.

package main

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"rakelight/media/film"
)

// filmCommand reads a film back: film FILE WIDTH HEIGHT RATE PICTURES.
func filmCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 5 {
		ts.Fatalf("usage: film FILE WIDTH HEIGHT RATE PICTURES")
	}
	data := []byte(ts.ReadFile(args[0]))
	number := func(s string) int {
		n, err := strconv.Atoi(s)
		ts.Check(err)
		return n
	}
	at := bytes.Index(data, []byte("strh"))
	list := bytes.LastIndex(data, []byte("idx1"))
	if !bytes.HasPrefix(data, []byte("RIFF")) || at < 0 || list < 0 {
		ts.Fatalf("%s is no film", args[0])
	}
	long := func(at int) int { return int(binary.LittleEndian.Uint32(data[at:])) }
	if rate, scale := long(at+8+24), long(at+8+20); rate != number(args[3])*scale {
		ts.Fatalf("%d pictures in %d seconds", rate, scale)
	}
	n := long(list+4) / 16
	if n != number(args[4]) || n != long(at+8+32) {
		ts.Fatalf("%d pictures in the index, %d in the head", n, long(at+8+32))
	}
	movi := bytes.Index(data, []byte("movi"))
	for i := range n {
		entry := list + 8 + 16*i
		begin := movi + long(entry+8) + 8
		is, err := jpeg.DecodeConfig(bytes.NewReader(data[begin : begin+long(entry+12)]))
		ts.Check(err)
		if is.Width != number(args[1]) || is.Height != number(args[2]) {
			ts.Fatalf("picture %d is %d by %d", i, is.Width, is.Height)
		}
	}
}

// encoderStandIn is what this program does where it is called as ffmpeg is: it keeps what
// it was told and what comes in, or fails. Anything else it leaves to the tests.
func encoderStandIn() {
	if len(os.Args) < 2 || os.Args[1] != "-hide_banner" {
		return
	}
	if os.Getenv("RAKELIGHT_ENCODER") == "fails" {
		fmt.Fprintln(os.Stderr, "no such encoder")
		os.Exit(1)
	}
	data, err := io.ReadAll(os.Stdin)
	file := os.Args[len(os.Args)-1]
	if err == nil {
		err = os.WriteFile(file, append([]byte(strings.Join(os.Args, " ")+"\n"), data...), 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	os.Exit(0)
}

// How long is shown what.
func TestFilmSpeed(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		each, cards time.Duration
		rate        int
		want        film.Rate
		times       [2]int
	}{
		{500 * time.Millisecond, 3 * time.Second, 0, film.Rate{Frames: 2, Seconds: 1}, [2]int{1, 6}},
		{time.Second, 3 * time.Second, 0, film.Rate{Frames: 1, Seconds: 1}, [2]int{1, 3}},
		{1500 * time.Millisecond, 3 * time.Second, 0, film.Rate{Frames: 2, Seconds: 3}, [2]int{1, 2}},
		{333 * time.Millisecond, 0, 0, film.Rate{Frames: 1000, Seconds: 333}, [2]int{1, 1}},
		{500 * time.Millisecond, 3 * time.Second, 25, film.Rate{Frames: 25, Seconds: 1}, [2]int{13, 75}},
		{20 * time.Millisecond, time.Second, 10, film.Rate{Frames: 10, Seconds: 1}, [2]int{1, 10}},
	} {
		o := filmOptions{each: c.each, cards: c.cards, rate: c.rate}
		if rate, each, cards := o.speed(); rate != c.want || each != c.times[0] || cards != c.times[1] {
			t.Errorf("%v, %v at %d: %v, %d, %d", c.each, c.cards, c.rate, rate, each, cards)
		}
	}
}

// A program makes the film of what is fed to it, and writes the file it is given; where
// it fails, what it said is told. This program stands in for it.
func TestFilmByAnotherProgram(t *testing.T) {
	dir := t.TempDir()
	img := image.NewGray(image.Rect(0, 0, 32, 18))
	for _, fails := range []bool{false, true} {
		t.Setenv("RAKELIGHT_ENCODER", map[bool]string{false: "works", true: "fails"}[fails])
		file := filepath.Join(dir, "a.tmp")
		e, err := startEncoder(context.Background(), os.Args[0], file, encoders[".mp4"], film.Rate{Frames: 2, Seconds: 1})
		if err != nil {
			t.Fatal(err)
		}
		var fed error
		for range 3 {
			fed = errors.Join(fed, e.AddImage(img, 80, 2))
		}
		err = e.Close()
		if fails {
			if err == nil || !strings.Contains(err.Error(), "ffmpeg made no film") || !strings.Contains(err.Error(), "no such encoder") {
				t.Errorf("it failed: %v", err)
			}
			continue
		}
		data, readErr := os.ReadFile(file)
		if err := errors.Join(fed, err, readErr); err != nil {
			t.Fatal(err)
		}
		args, pictures, _ := bytes.Cut(data, []byte("\n"))
		if n := bytes.Count(pictures, []byte{0xff, 0xd8, 0xff}); n != 6 || !bytes.Contains(args, []byte("-framerate 2/1")) || !bytes.Contains(args, []byte("-f mp4")) {
			t.Errorf("%d pictures came, told %q", n, args)
		}
	}
}
