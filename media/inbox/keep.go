// From read files to recorded photos: the one place that writes, in the order
// bytes, record, inbox copy.

package inbox

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path"
	"slices"

	"rakelight/journal"
	"rakelight/media"
)

// run reads files with a few workers and keeps them in the order given, so
// that the records do not depend on which picture was quicker to read.
func (in *Inbox) run(ctx context.Context, list []Dropped, report func(done, total int, o Outcome)) (Summary, error) {
	var sum Summary
	if err := in.zoneKnown(); err != nil {
		return sum, err
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	results := make([]chan read, len(list))
	for i := range results {
		results[i] = make(chan read, 1)
	}
	// Few pictures are read ahead: a slow disk must not fill the memory.
	ahead := make(chan struct{}, 2*in.opts.Batch)
	state := in.j.State
	next := make(chan int)
	go func() {
		defer close(next)
		for i := range list {
			select {
			case ahead <- struct{}{}:
			case <-ctx.Done():
				return
			}
			select {
			case next <- i:
			case <-ctx.Done():
				return
			}
		}
	}()
	for range in.opts.Workers {
		go func() {
			for i := range next {
				results[i] <- in.look(list[i], state)
			}
		}()
	}
	done := 0
	for done < len(list) {
		batch, err := in.gather(ctx, results[done:], ahead)
		if err != nil {
			return sum, err
		}
		outcomes, err := in.keep(batch)
		for _, o := range outcomes {
			done++
			sum.add(o)
			if report != nil {
				report(done, len(list), o)
			}
		}
		if err != nil {
			return sum, err
		}
	}
	return sum, nil
}

// zoneKnown refuses to date photos by a zone nobody meant.
func (in *Inbox) zoneKnown() error {
	if doubt := in.j.State.ZoneDoubt(); doubt != "" {
		return fmt.Errorf("%s; photos are left where they are until it does", doubt)
	}
	return nil
}

// gather waits for the next file and takes along those ready behind it.
func (in *Inbox) gather(ctx context.Context, results []chan read, ahead chan struct{}) ([]read, error) {
	var batch []read
	for _, one := range results[:min(in.opts.Batch, len(results))] {
		if len(batch) == 0 {
			select {
			case r := <-one:
				batch = append(batch, r)
			case <-ctx.Done():
				return nil, ctx.Err()
			}
		} else {
			select {
			case r := <-one:
				batch = append(batch, r)
			default:
				return batch, nil
			}
		}
		<-ahead
	}
	return batch, nil
}

// keep places, records and clears a few files, and says what became of each.
// On an error the files of the batch that had no outcome yet stay as they
// were; what was placed is found again by its hash.
func (in *Inbox) keep(batch []read) ([]Outcome, error) {
	outcomes := make([]Outcome, len(batch))
	kept := make(map[string]*journal.Photo)
	for _, p := range in.j.State.Photos {
		kept[p.Hash] = p
	}
	had := in.besides()
	var add []journal.New
	var fresh []int
	first := make(map[string]bool)
	known := maps.Clone(kept)             // and those of this batch: their bytes are placed
	var twice []int                       // the same picture under two names in one batch
	asides := map[int]journal.AsideBody{} // copies, by place in the batch
	raws := map[int]journal.BesideBody{}  // raw pictures kept beside their photo
	var xmps []int                        // after the photos, which may be theirs
	for _, i := range bareLast(batch) {
		r := batch[i]
		switch {
		case r.end != nil:
			outcomes[i] = *r.end
		case kept[r.facts.Hash] != nil:
			outcomes[i] = in.again(r, kept[r.facts.Hash])
		case had[r.facts.Hash] != nil:
			outcomes[i] = in.again(r, had[r.facts.Hash])
		case r.facts.Kind == journal.FormatXMP:
			xmps = append(xmps, i)
		case first[r.facts.Hash]:
			twice = append(twice, i)
		default:
			if p := in.originalOf(r.facts, known); p != nil && !r.Meant {
				body := journal.AsideBody{Hash: r.facts.Hash, CopyOf: p.Hash, Why: copyWhy(r.facts, p)}
				if r.Inside {
					to, err := in.j.AsidePath(r.Shown)
					if err != nil {
						outcomes[i] = *r.ended(SetAside, fmt.Sprintf("%s; it could not be set aside (%v); left in the inbox", body.Why, err))
						continue
					}
					body.Path = to
					add = append(add, journal.New{Kind: "aside", Body: body})
				}
				asides[i] = body
				continue
			}
			partner := in.partnerOf(r, known)
			if partner != nil && media.IsRaw(r.facts.Kind) {
				body, end := in.placeRaw(r, partner)
				if end != nil {
					outcomes[i] = *end
					continue
				}
				first[r.facts.Hash], raws[i] = true, body
				with := *partner // the state's own is nobody's to change
				with.Beside = append(slices.Clip(with.Beside), journal.Original{Hash: body.Hash, Format: body.Format})
				known[with.Hash] = &with
				add = append(add, journal.New{Kind: "beside", Body: body})
				continue
			}
			body, end := in.place(r, partner)
			if end != nil {
				outcomes[i] = *end
				continue
			}
			first[r.facts.Hash] = true
			known[body.Hash] = photoOf(body)
			add, fresh = append(add, journal.New{Kind: "photo", Body: body}), append(fresh, i)
			if partner != nil { // the raw picture came first
				known[body.Hash].Beside = []journal.Original{{Hash: partner.Hash, Format: partner.Format}}
				delete(known, partner.Hash)
				add = append(add, journal.New{Kind: "beside", Body: besideBody(body.Hash, partner)})
			}
		}
	}
	if _, err := in.j.AppendAll(add); err != nil {
		why := "the journal could not be written; left untouched"
		for _, i := range slices.Concat(fresh, twice, slices.Collect(maps.Keys(asides)), slices.Collect(maps.Keys(raws)), xmps) {
			outcomes[i] = *batch[i].ended(SetAside, why)
			outcomes[i].retry = true
		}
		return outcomes, fmt.Errorf("no photo was recorded, all stay where they are: %w", err)
	}
	for _, p := range in.j.State.Photos {
		kept[p.Hash] = p
	}
	for _, i := range fresh {
		r := batch[i]
		outcomes[i] = Outcome{Path: r.Shown, Status: Taken, Photo: kept[r.facts.Hash]}
		if err := r.clear(); err != nil {
			outcomes[i].Why = fmt.Sprintf("it is kept, but the inbox copy could not be removed (%v)", err)
		}
		if p, file, ok := in.j.State.Kept(r.facts.Hash); ok {
			outcomes[i].Photo = p // a raw picture whose partner came behind it in the batch
			in.clearSidecar(r, file.Path)
		}
	}
	for i, body := range raws {
		r := batch[i]
		p, _, _ := in.j.State.Kept(body.Hash)
		outcomes[i] = Outcome{Path: r.Shown, Status: Beside, Photo: p, Why: "one photo with " + shownName(p, body)}
		if err := r.clear(); err != nil {
			outcomes[i].Why = fmt.Sprintf("it is kept, but the inbox copy could not be removed (%v)", err)
		}
		in.clearSidecar(r, body.Path)
	}
	for i, body := range asides {
		outcomes[i] = in.setAside(batch[i], body)
	}
	had = in.besides()
	for _, i := range twice {
		hash := batch[i].facts.Hash
		if file := cmp.Or(had[hash], kept[hash]); file != nil {
			outcomes[i] = in.again(batch[i], file)
		} else {
			outcomes[i] = *batch[i].ended(SetAside, "the same picture under another name could not be kept; left untouched")
		}
	}
	for n, i := range xmps {
		var err error
		if outcomes[i], err = in.keepXMP(batch[i]); err != nil {
			for _, k := range xmps[n+1:] {
				outcomes[k] = outcomes[i]
				outcomes[k].Path = batch[k].Shown
			}
			return outcomes, err
		}
	}
	return outcomes, nil
}

// besides are the raw pictures beside photos, by hash, each as a photo of its
// own would be.
func (in *Inbox) besides() map[string]*journal.Photo {
	had := make(map[string]*journal.Photo)
	for _, p := range in.j.State.Photos {
		for _, o := range p.Beside {
			if o.Format != journal.FormatXMP {
				one := *p
				one.Hash, one.Path, one.Name, one.Size, one.Format = o.Hash, o.Path, o.Name, o.Size, o.Format
				had[o.Hash] = &one
			}
		}
	}
	return had
}

// bareLast are the places in the batch, pictures without camera data at the
// end: the original may lie beside its copy, under a later name.
func bareLast(batch []read) []int {
	var with, without []int
	for i, r := range batch {
		if r.end == nil && bare(r.facts) {
			without = append(without, i)
		} else {
			with = append(with, i)
		}
	}
	return append(with, without...)
}

// place tags a photo and puts its bytes under photos/, beside those of the raw
// picture of the same shot if there is one.
func (in *Inbox) place(r read, partner *journal.Photo) (body journal.PhotoBody, end *Outcome) {
	defer func() {
		if p := recover(); p != nil {
			end = r.ended(SetAside, fmt.Sprintf("keeping it failed inside (%v); left untouched", p))
		}
	}()
	f := r.facts
	tags, why, guess := Tag(f, r.instant, r.Folder, in.j.State)
	if f.Picture != "" {
		why["picture"] = f.Picture
	}
	if f.Color != "" {
		why["color"] = f.Color
	}
	var rel string
	var err error
	if partner != nil {
		rel, err = in.placeLike(r, partner.Path)
	} else {
		rel, err = in.j.Place(r.Path, f.Hash, r.instant.At, media.Extension(f.Kind))
	}
	if err != nil {
		end := r.ended(SetAside, fmt.Sprintf("it could not be kept (%v); left untouched", err))
		end.Err = err
		return body, end
	}
	if f.Sidecar != "" {
		_, err := in.j.PlaceBeside(f.Sidecar, rel)
		switch {
		case err == nil:
			why["sidecar"] = "its XMP file is kept beside it"
		case !os.IsNotExist(err): // else it was kept beside the other file of the shot
			why["sidecar"] = fmt.Sprintf("its XMP file was not kept (%v)", err)
		}
	}
	return journal.PhotoBody{
		Hash: f.Hash, Path: rel, Name: path.Base(f.Claims.FileName), Folder: r.Folder, Size: f.Size,
		Format: f.Kind, Width: f.Width, Height: f.Height, Turn: f.Turn, Camera: f.Camera,
		Instant: r.instant, Tags: tags, Why: why, Guess: guess,
		Words: few(f.Keywords), Print: f.Look.Print, Sharp: f.Look.Sharp, Cards: f.Cards,
	}, nil
}

// few bounds the keywords that go into a record: some programs write hundreds.
func few(keywords []string) []string {
	var out []string
	for _, word := range keywords {
		if len(word) <= 100 && len(out) < 40 {
			out = append(out, word)
		}
	}
	return out
}

// again is for a picture that is recorded already. Its inbox copy goes only
// when the kept original is there with its full size; a lost original is put
// back from the copy.
func (in *Inbox) again(r read, p *journal.Photo) Outcome {
	said := "kept already as " + p.Path
	info, err := os.Stat(in.j.Path(p.Path))
	switch {
	case os.IsNotExist(err):
		rel, err := in.j.PlaceAs(r.Path, p.Hash, p.Path, path.Ext(p.Path))
		if err != nil {
			return *r.ended(SetAside, fmt.Sprintf("its original %s is missing and could not be put back (%v); left untouched", p.Path, err))
		}
		said = "its original was missing and has been put back as " + rel
	case err != nil:
		return *r.ended(SetAside, fmt.Sprintf("its original %s cannot be read (%v); left untouched", p.Path, err))
	case info.Size() != r.facts.Size:
		return *r.ended(SetAside, fmt.Sprintf("its original %s has another size by now; both left untouched", p.Path))
	}
	if err := r.clear(); err != nil {
		return *r.ended(Duplicate, fmt.Sprintf("%s; this copy could not be removed (%v)", said, err))
	}
	if r.Inside {
		said += "; this copy was removed"
	}
	if tags, _, guess := Tag(r.facts, r.instant, r.Folder, in.j.State); p.ToSort() && tags.Build != "" && tags.Stage != "" && !guess {
		// The folder of a second copy is no word on the first one: the person
		// may have sorted copies for another reason.
		said += fmt.Sprintf("; it is to sort, and this copy lay in %s: %s takes that over", r.Folder, journal.Typed("rakelight tag %s %s %s", p.Short(), tags.Build, tags.Stage))
	}
	return *r.ended(Duplicate, said)
}

// clear removes the inbox copy of a kept photo. Files elsewhere are the
// person's and stay; so do emptied sub-folders, which wait for more. A copy
// that was changed since it was read is another file: it stays too.
func (r read) clear() error {
	if !r.Inside {
		return nil
	}
	switch err := r.unchanged(); {
	case os.IsNotExist(err):
		return nil
	case err != nil:
		return err
	}
	return os.Remove(r.Path)
}

// unchanged is an error when the file is another than the one that was read.
func (r read) unchanged() error {
	info, err := os.Lstat(r.Path)
	if err != nil {
		return err
	}
	if info.Size() != r.facts.Size || !info.ModTime().Equal(r.facts.Claims.FileTime) {
		return errors.New("it changed meanwhile")
	}
	return nil
}

// clearSidecar removes the inbox copy of an XMP file whose bytes lie beside
// the kept photo. One that differs stays, and is told of as any other file.
func (in *Inbox) clearSidecar(r read, kept string) {
	if !r.Inside || r.facts.Sidecar == "" {
		return
	}
	here, err := os.ReadFile(r.facts.Sidecar)
	if err != nil {
		return
	}
	there, err := os.ReadFile(in.j.Path(kept + ".xmp"))
	if err == nil && bytes.Equal(here, there) {
		// If it cannot be removed it is looked at again by the next run.
		_ = os.Remove(r.facts.Sidecar)
	}
}
