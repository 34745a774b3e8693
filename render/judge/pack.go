// This file makes packs: one file with everything in it, for judges elsewhere.

package judge

import (
	"bytes"
	"context"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"math/rand/v2"

	"rakelight/journal"
	"rakelight/site"
)

// Bounds of a pack. The size is what mail servers let through and a phone still
// opens at once; the pairs are what a friend does at one sitting, and some.
const (
	DefaultPairs = 24
	MaxPairs     = 60
	MaxPack      = 12 << 20 // bytes
)

// qualities are tried from the best down until a pack is small enough. All
// pictures of a pack have the same.
var qualities = []int{quality, 80, 70, 60}

//go:embed pack.html
var packText string

//go:embed pack.js
var packScript string

var packPage = template.Must(template.New("pack").Parse(packText))

// Made is a pack that was made. Until Key is in the journal no answers to it can
// be taken.
type Made struct {
	HTML     []byte
	Key      journal.PackBody
	Pairs    int // different ones
	Again    int // shown a second time
	Pictures int
	Quality  int // of the JPEGs
}

// packData is what the pack's page works with: nothing in it comes from the
// journal but the words of the criteria and the pixels.
type packData struct {
	Pack     string            `json:"pack"`
	Asked    []packQuestion    `json:"asked"`
	Pairs    []packShown       `json:"pairs"`
	Pictures map[string]string `json:"pictures"` // name → JPEG in base64
}

type packQuestion struct {
	Text string `json:"text"`
	Two  string `json:"two"`
	Four string `json:"four"`
}

type packShown struct {
	ID    string `json:"id"`
	Asked int    `json:"asked"` // index of its question
	Left  string `json:"left"`  // names of pictures
	Right string `json:"right"`
}

// Pack makes a pack of n different pairs, or of as many as there are, on the
// criteria (none = on all). Photos that cannot be shown are passed over.
// Pictures stand in the file in the order of their random names, so that their
// place says nothing. It returns an error when no two photos compare and when
// the pack would be larger than MaxPack.
func Pack(ctx context.Context, j *journal.Journal, n int, criteria []int, seed uint64) (*Made, error) {
	return packWithin(ctx, j, n, criteria, seed, MaxPack)
}

func packWithin(ctx context.Context, j *journal.Journal, n int, criteria []int, seed uint64, most int) (*Made, error) {
	rng := rand.New(rand.NewPCG(seed, 5))
	broken := map[string]bool{}
	for at := 0; ; {
		pairs := j.State.PackPairs(n, criteria, rng, broken)
		if len(pairs) == 0 {
			return nil, &journal.AskError{What: "no two photos compare: no pack written",
				Hint: j.State.NoPairs()}
		}
		made, err := packOf(ctx, j, pairs, qualities[at])
		var unshown *unshownError
		switch {
		case errors.As(err, &unshown):
			broken[unshown.hash] = true
			continue
		case err != nil:
			return nil, err
		case len(made.HTML) <= most:
			return made, nil
		}
		if at++; at == len(qualities) {
			return nil,
				&journal.AskError{What: fmt.Sprintf("the pack would have %.1f MB, and %.1f is the most: no pack written",
					float64(len(made.HTML))/(1<<20), float64(most)/(1<<20)),
					Hint: fmt.Sprintf("ask for fewer pairs: --pairs %d",
						max(1, int(0.9*float64(made.Pairs)*float64(most)/float64(len(made.HTML)))))}
		}
	}
}

// unshownError names a photo that cannot be shown.
type unshownError struct {
	hash string
	err  error
}

func (e *unshownError) Error() string { return e.err.Error() }

// packOf makes the pack of these pairs.
func packOf(ctx context.Context, j *journal.Journal, pairs []journal.BlindPair, quality int) (*Made, error) {
	made := &Made{Quality: quality}
	names := namer{}
	data := packData{Pictures: map[string]string{}}
	var err error
	if made.Key.Pack, err = names.new(10); err != nil {
		return nil, err
	}
	data.Pack = made.Key.Pack
	type shape struct {
		hash   string
		detail int
	}
	known, asked := map[shape]string{}, map[int]int{}
	for _, p := range pairs {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		id, err := names.new(6)
		if err != nil {
			return nil, err
		}
		if _, ok := asked[p.Criterion]; !ok {
			c := journal.Criteria[p.Criterion-1]
			asked[p.Criterion] = len(data.Asked)
			data.Asked = append(data.Asked, packQuestion{question(c), c.Two, c.Four.English()})
		}
		shown := packShown{ID: id, Asked: asked[p.Criterion]}
		detail := detailOf(&p)
		for _, side := range []struct {
			photo *journal.Photo
			name  *string
		}{{p.Left, &shown.Left}, {p.Right, &shown.Right}} {
			key := shape{side.photo.Hash, detail}
			if known[key] == "" {
				picture, err := neutralOf(j, side.photo, detail, quality)
				if err != nil {
					return nil, &unshownError{side.photo.Hash, err}
				}
				if known[key], err = names.new(8); err != nil {
					return nil, err
				}
				data.Pictures[known[key]] = base64.StdEncoding.EncodeToString(picture)
			}
			*side.name = known[key]
		}
		data.Pairs = append(data.Pairs, shown)
		made.Key.Pairs = append(made.Key.Pairs, journal.PackPair{ID: id, Left: p.Left.Hash, Right: p.Right.Hash,
			Criterion: p.Criterion})
		if p.Again {
			made.Again++
		} else {
			made.Pairs++
		}
	}
	made.Pictures = len(data.Pictures)
	made.HTML, err = data.page()
	return made, err
}

// page is the pack as one file. Its policy lets in what is in the file and
// nothing else.
func (d packData) page() ([]byte, error) {
	values, err := json.Marshal(d) // sorts the pictures by name; <, > and & are escaped
	if err != nil {
		return nil, err
	}
	var unread error
	style := styleWith(func(name string) string {
		data, err := site.Files.ReadFile("fonts/" + name)
		unread = errors.Join(unread, err)
		return "data:font/woff2;base64," + base64.StdEncoding.EncodeToString(data)
	})
	if unread != nil {
		return nil, unread
	}
	sum := sha256.Sum256([]byte(packScript))
	var b bytes.Buffer
	err = packPage.Execute(&b, map[string]any{
		"Policy": "default-src 'none'; img-src data:; font-src data:; style-src 'unsafe-inline'; script-src 'sha256-" +
			base64.StdEncoding.EncodeToString(sum[:]) + "'; base-uri 'none'; form-action 'none'",
		"Style":  template.CSS(style),
		"Number": len(d.Pairs),
	})
	if err != nil {
		return nil, err
	}
	// The script goes in as it is, so that its sum holds, and the pictures past
	// the template, which would copy them several times.
	page := bytes.Replace(b.Bytes(), []byte("PACK-SCRIPT"), []byte(packScript), 1)
	return bytes.Replace(page, []byte("PACK-DATA"), values, 1), nil
}

// namer gives each thing of a pack a random name of its own.
type namer map[string]bool

func (n namer) new(letters int) (string, error) {
	for {
		name, err := random(letters)
		if err != nil || !n[name] {
			n[name] = true
			return name, err
		}
	}
}
