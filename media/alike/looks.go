// The shapes of photos, kept below .cache so that each picture is looked at once. All of
// it is derived: what is missing, or cannot be read, is made again.

package alike

import (
	"context"
	"encoding/hex"
	"errors"
	"io/fs"
	"maps"
	"os"
	"slices"
	"sync"

	"rakelight/journal"
	"rakelight/media"
)

// folder has a file for each first byte of hashes, so that a photo that comes changes a
// small one. Its name changes when what is kept does.
const folder = ".cache/alike-2"

// Looks has the shapes of a journal's photos. Its methods may be called from several
// goroutines.
type Looks struct {
	journal *journal.Journal
	small   func(*journal.Photo) string

	mu    sync.Mutex
	files map[string]map[string][]byte // by the first two digits of hashes, then by hash: a packed shape, "" = none
	fresh map[string]bool              // those with something that was not kept yet
}

// OpenLooks opens what is kept of a journal. small is the path of a small upright
// picture of a photo, which is looked at where it is there, in place of the original.
func OpenLooks(j *journal.Journal, small func(*journal.Photo) string) *Looks {
	return &Looks{journal: j, small: small, files: map[string]map[string][]byte{}, fresh: map[string]bool{}}
}

// Known reports whether the photo was looked at before.
func (l *Looks) Known(p *journal.Photo) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	_, known := l.file(p.Hash[:2])[p.Hash]
	return known
}

// lookers look at pictures at once: as many as make web sizes.
const lookers = 2

// Look looks at photos, and keeps what it saw, also where ctx ends it. report is told how
// far it came.
func (l *Looks) Look(ctx context.Context, photos []*journal.Photo, report func(done, total int)) error {
	var group sync.WaitGroup
	var lock sync.Mutex
	done := 0
	todo := make(chan *journal.Photo)
	for range lookers {
		group.Go(func() {
			for p := range todo {
				l.Of(p)
				lock.Lock()
				done++
				report(done, len(photos))
				lock.Unlock()
			}
		})
	}
	for _, p := range photos {
		if ctx.Err() != nil {
			break
		}
		todo <- p
	}
	close(todo)
	group.Wait()
	return errors.Join(ctx.Err(), l.Save())
}

// Of is the shape of a photo; false where it has none, because nothing stands out in it or
// because it cannot be read. It looks at the picture if nobody did before.
func (l *Looks) Of(p *journal.Photo) (Shape, bool) {
	l.mu.Lock()
	data, known := l.file(p.Hash[:2])[p.Hash]
	l.mu.Unlock()
	if known {
		return unpack(data)
	}
	cells, aspect, passing := l.cells(p)
	shape, ok := shapeOf(cells, aspect)
	if ok {
		data = shape.pack()
		shape, ok = unpack(data) // the same now and when it is read again
	}
	if !passing {
		l.mu.Lock()
		l.file(p.Hash[:2])[p.Hash] = data
		l.fresh[p.Hash[:2]] = true
		l.mu.Unlock()
	}
	return shape, ok
}

// cells are those of a photo. passing says that it may be read another time.
func (l *Looks) cells(p *journal.Photo) (cells []uint8, aspect float64, passing bool) {
	if l.small != nil {
		if cells, aspect, err := media.CellsAt(l.small(p), 1, grid); err == nil {
			return cells, aspect, false
		}
	}
	file, err := l.journal.Original(p.Path)
	if err == nil {
		cells, aspect, err = media.CellsAt(file, p.Turn, grid)
	}
	var disk *fs.PathError
	var busy *media.BusyError
	return cells, aspect, errors.As(err, &disk) || errors.As(err, &busy)
}

// file is what is kept of the photos whose hashes begin so.
func (l *Looks) file(begin string) map[string][]byte {
	if kept, read := l.files[begin]; read {
		return kept
	}
	kept := map[string][]byte{}
	l.files[begin] = kept
	data, err := os.ReadFile(l.journal.Path(folder + "/" + begin))
	if err != nil {
		return kept
	}
	for len(data) >= 33 {
		hash, size := hex.EncodeToString(data[:32]), 0
		if data[32] == 1 {
			size = packed
		}
		data = data[33:]
		if len(data) < size {
			break
		}
		kept[hash] = data[:size:size]
		data = data[size:]
	}
	return kept
}

// Save keeps what was not kept yet.
func (l *Looks) Save() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	for begin := range l.fresh {
		var out []byte
		for _, name := range slices.Sorted(maps.Keys(l.files[begin])) {
			hash, err := hex.DecodeString(name)
			if err != nil || len(hash) != 32 {
				continue
			}
			data := l.files[begin][name]
			out = append(append(out, hash...), byte(min(len(data), 1)))
			out = append(out, data...)
		}
		if err := journal.WriteFile(l.journal.Path(folder+"/"+begin), out); err != nil {
			return err
		}
		delete(l.fresh, begin)
	}
	return nil
}
