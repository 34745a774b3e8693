// How many passes a progressive JPEG is packed in. Each goes over all of the
// picture, and takes a few bytes only: a small file may ask for hours of work.
// That is seen before any decoder is asked.

package media

import (
	"bytes"
	"io"
)

// maxScans is what the fuzzers of libjpeg-turbo stop at (500, from memory of its
// fuzz/decompress.cc); cameras and editors write about ten. maxVisits bounds the
// passes times the blocks each goes over: a minute's work of a slow computer.
const (
	maxScans  = 500
	maxVisits = 1 << 30
)

// checkScans refuses a JPEG that is packed in too many passes for its size.
func checkScans(f file) error {
	h, err := frameOf(f)
	if err != nil || !h.progressive() {
		return nil
	}
	allowed := min(maxScans, maxVisits/max(1, h.blocks()))
	if n, err := scansOf(f, allowed); err != nil {
		return err
	} else if n > allowed {
		return &BrokenError{Fault: TooManyScans, Most: allowed}
	}
	return nil
}

// scansOf counts the passes of a JPEG to one more than enough, those of a
// thumbnail inside left out: within packed pixels no byte 0xff stands before
// another than 0 or a restart.
func scansOf(f file, enough int64) (n int64, err error) {
	size, err := sizeOf(f)
	if err != nil {
		return 0, err
	}
	const scan, end = 0xda, 0xd9
	b := make([]byte, 16<<10)
	at := int64(2)
	var head [4]byte
	for at < size-1 && n <= enough {
		// The segments between two passes are skipped by their length.
		got, err := f.ReadAt(head[:], at)
		if got < 2 {
			return n, tolerant(err)
		}
		marker := head[1]
		switch {
		case head[0] != 0xff: // fill, or the decoder's to judge
			at++
			continue
		case marker == 0xff:
			at++
			continue
		case marker == end:
			return n, nil
		case marker == 0 || marker >= 0xd0 && marker <= 0xd8 || got < 4:
			at += 2
			continue
		}
		at += 2 + int64(head[2])<<8 + int64(head[3])
		if marker != scan {
			continue
		}
		n++
		if at, err = nextMarker(f, at, b); err != nil {
			return n, tolerant(err)
		}
	}
	return n, nil
}

// nextMarker is where the packed pixels that begin at a place end.
func nextMarker(f io.ReaderAt, at int64, b []byte) (int64, error) {
	for {
		n, err := f.ReadAt(b, at)
		if n < 2 {
			return at, err
		}
		for from := 0; ; {
			i := bytes.IndexByte(b[from:n-1], 0xff)
			if i < 0 {
				break
			}
			from += i
			if next := b[from+1]; next != 0 && (next < 0xd0 || next > 0xd7) && next != 0xff {
				return at + int64(from), nil
			}
			from++
		}
		at += int64(n - 1) // the last byte may be half of a marker
	}
}

// tolerant is nil at the end of a file, which the decoder words.
func tolerant(err error) error {
	if err == io.EOF {
		return nil
	}
	return err
}
