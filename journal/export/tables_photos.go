// Rows of photos and of the files beside them: what is known and said of each, the
// cameras' clocks, the printed cards.

package export

import (
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
)

// Photo is a row of photos.
type Photo struct {
	Hash    string                `json:"hash" doc:"SHA-256 of the original; other tables name the photo so"`
	Path    string                `json:"path" doc:"of the original, below the journal folder"`
	Name    string                `json:"name,omitempty" doc:"file name in the inbox"`
	Folder  string                `json:"folder,omitempty" doc:"folder of the inbox it lay in"`
	Words   []string              `json:"words,omitempty" doc:"list of keywords in the file"`
	Size    int64                 `json:"size" doc:"bytes"`
	Format  string                `json:"format,omitempty" doc:"jpeg, png, tiff, … mp4 or mov, or the kind of raw file"`
	Width   int                   `json:"width,omitempty" doc:"pixels, upright"`
	Height  int                   `json:"height,omitempty" doc:"pixels, upright"`
	Turn    int                   `json:"turn,omitempty" doc:"orientation as EXIF counts it, 1 to 8"`
	Length  int64                 `json:"length,omitempty" doc:"of a clip, milliseconds"`
	Codec   string                `json:"codec,omitempty" doc:"of a clip, what its pictures are packed as: avc1, hvc1"`
	Frame   [2]int                `json:"frame,omitzero" doc:"of a clip: its width and height, upright, in pixels"`
	Camera  journal.Camera        `json:"camera,omitzero" doc:"{make, model, serial}"`
	Instant journal.Instant       `json:"instant" doc:"{at, wall, source, offset, meant, fast, said, doubts, passed}: when it was taken; what the file states; from where that is; where the offset is from; of a clip, what told whether its header is UTC; by how much its clock was fast; as a person dated it; what speaks against it; dates that are none"`
	Build   string                `json:"build,omitempty" doc:"id of the build it belongs to"`
	Kit     int                   `json:"kit,omitempty" doc:"number of the kit, from 1"`
	Stage   string                `json:"stage,omitempty" doc:"id of the stage"`
	Kind    string                `json:"kind,omitempty" doc:"kind of the stage"`
	Role    string                `json:"role,omitempty" doc:"before, after, progress, problem, finished"`
	View    string                `json:"view,omitempty" doc:"front, left, right, rear, top, three-quarter"`
	Light   string                `json:"light,omitempty" doc:"diffuse, raking"`
	Parts   []journal.PartRef     `json:"parts,omitempty" doc:"list of parts it shows"`
	Why     map[string]reason.Why `json:"why,omitempty" doc:"by tag, why it is so: {by, name, session, away, before, of}"`
	Guess   bool                  `json:"guess,omitempty" doc:"build or stage is a guess from the nearest session"`
	Caption string                `json:"caption,omitempty" doc:"as typed"`
	Print   string                `json:"print,omitempty" doc:"how it looks, 16 hex digits, to find those like it"`
	Sharp   float64               `json:"sharp,omitempty" doc:"share of fine detail; compares within a burst only"`
	Cards   []journal.CardSeen    `json:"cards,omitempty" doc:"list of bench cards in it: {text, corners, error}"`
	Lapsed  string                `json:"lapsed,omitempty" doc:"role by card that held no longer when it was taken"`
	Held    time.Time             `json:"held,omitzero" doc:"the last photo that role held for"`
	CardsBy string                `json:"cards-by,omitempty" doc:"record by which a person said what its cards say"`
	DatedBy string                `json:"dated-by,omitempty" doc:"record by which a person said when it was taken"`
	Trial   int                   `json:"trial,omitempty" doc:"number of the trial card that held"`
	Burst   string                `json:"burst,omitempty" doc:"hash of the photo that stands for its burst"`
	Series  string                `json:"series,omitempty" doc:"hash of the first frame of the series it is in"`
	Beside  []Beside              `json:"beside,omitempty" doc:"list of its other files: {hash, path, name, format, size, link, record}, link as in asides"`
	Record  string                `json:"record" doc:"record that took it in"`
}

// Beside is a file beside a photo.
type Beside struct {
	Hash   string      `json:"hash"`
	Path   string      `json:"path"`
	Name   string      `json:"name,omitempty"`
	Format string      `json:"format,omitempty"`
	Size   int64       `json:"size"`
	Why    reason.Link `json:"link,omitzero"`
	Record string      `json:"record"`
}

func photoRow(p *journal.Photo) Photo {
	row := Photo{Hash: p.Hash, Path: p.Path, Name: p.Name, Folder: p.Folder, Words: p.Words, Size: p.Size,
		Format: p.Format, Width: p.Width, Height: p.Height, Turn: p.Turn, Camera: p.Camera, Instant: p.Instant,
		Build: p.Tags.Build, Kit: p.Tags.Kit, Stage: p.Tags.Stage, Kind: p.Kind, Role: p.Tags.Role, View: p.Tags.View,
		Light: p.Tags.Light, Parts: p.Tags.Parts, Why: p.Why, Guess: p.Guess, Caption: p.Caption, Print: p.Fingerprint,
		Length: p.Length, Codec: p.Codec, Frame: p.Frame,
		Sharp: p.Sharp, Cards: p.Cards, Lapsed: p.Lapsed.Role, Held: p.Lapsed.Last, CardsBy: p.CardsBy,
		DatedBy: p.DatedBy, Trial: p.Trial, Burst: p.Burst, Series: p.Series, Record: p.Record}
	for _, o := range p.Beside {
		row.Beside = append(row.Beside, Beside(o))
	}
	return row
}

// Past is a row of past.
type Past struct {
	Photo   string            `json:"photo" doc:"hash of its bytes; photos has those that are kept"`
	Build   string            `json:"build,omitempty" doc:"id of the build it belongs to"`
	Kit     int               `json:"kit,omitempty" doc:"its number, from 1"`
	Stage   string            `json:"stage,omitempty" doc:"id of the stage"`
	Role    string            `json:"role,omitempty" doc:"before, after, progress, problem, finished"`
	View    string            `json:"view,omitempty" doc:"front, left, right, rear, top, three-quarter"`
	Light   string            `json:"light,omitempty" doc:"diffuse, raking"`
	Parts   []journal.PartRef `json:"parts,omitempty" doc:"list of parts it shows"`
	Out     bool              `json:"out,omitempty" doc:"it is not of the bench"`
	Wanted  bool              `json:"wanted,omitempty" doc:"it was said to be of the bench after all"`
	First   string            `json:"first,omitempty" doc:"day; absent = no date was said"`
	Last    string            `json:"last,omitempty" doc:"day, included"`
	Said    string            `json:"said,omitempty" doc:"the days in the person's words"`
	Records []string          `json:"records" doc:"that say so"`
}

func pastRow(p journal.PastSaid) Past {
	return Past{Photo: p.Photo, Build: p.Tags.Build, Kit: p.Tags.Kit, Stage: p.Tags.Stage, Role: p.Tags.Role,
		View: p.Tags.View, Light: p.Tags.Light, Parts: p.Tags.Parts, Out: p.Out, Wanted: p.Wanted,
		First: p.First, Last: p.Last, Said: p.Said, Records: p.Records}
}

// Private is a row of privates.
type Private struct {
	Photo  string `json:"photo,omitempty" doc:"hash; absent = it is a build or a day"`
	Build  string `json:"build,omitempty" doc:"id of the build; with a date, that day of the build alone"`
	Date   string `json:"date,omitempty" doc:"the day"`
	Record string `json:"record" doc:"the record that says so"`
}

func privateRow(p journal.Private) Private { return Private(p) }

// Clock is a row of clocks.
type Clock struct {
	Make   string `json:"make,omitempty" doc:"of the camera"`
	Model  string `json:"model,omitempty" doc:"of the camera"`
	Serial string `json:"serial,omitempty" doc:"of the camera; absent = any of that model"`
	Fast   string `json:"fast" doc:"1h3m; below zero = slow"`
	From   string `json:"from,omitempty" doc:"day as the camera showed it; absent = always"`
	To     string `json:"to,omitempty" doc:"day, included; absent = for good"`
	Record string `json:"record,omitempty" doc:"its record; absent = journal.toml says it"`
}

func clockRow(c journal.ClockFault) Clock { return Clock(c) }

// Sheet is a row of sheets.
type Sheet struct {
	Sheet    string  `json:"sheet,omitempty" doc:"mark of the sheet; absent = cards that bear none"`
	Measured float64 `json:"measured" doc:"millimeters from 0 to 50 on its scale"`
	Error    float64 `json:"error,omitempty" doc:"standard error of that, millimeters; absent = that of a ruler"`
	Paper    string  `json:"paper,omitempty" doc:"by what paper; absent = by a ruler"`
	From     string  `json:"from,omitempty" doc:"first day of the photos it is said of; absent = always"`
	To       string  `json:"to,omitempty" doc:"last day; absent = for good"`
	Record   string  `json:"record" doc:"its record"`
}

func sheetRow(s journal.SheetSize) Sheet { return Sheet(s) }

// Aside is a row of asides.
type Aside struct {
	Path   string      `json:"path" doc:"below the journal folder"`
	Hash   string      `json:"hash" doc:"SHA-256 of the file"`
	CopyOf string      `json:"copy-of" doc:"hash of the photo it is a copy of"`
	Why    reason.Link `json:"link,omitzero" doc:"{by, text, width, height, of, name, of-width, of-height}: how that was known: the measures of both, and the photo"`
	Record string      `json:"record" doc:"its record"`
}

func asideRow(a journal.Aside) Aside { return Aside(a) }

// Repair is a row of repairs.
type Repair struct {
	Hash   string    `json:"hash" doc:"SHA-256 of the good bytes"`
	Path   string    `json:"path" doc:"of the kept file, below the journal folder"`
	Was    string    `json:"was,omitempty" doc:"SHA-256 of the damaged bytes; absent = it was missing, or could not be read"`
	Aside  string    `json:"aside,omitempty" doc:"where those were put; absent = it was missing"`
	From   string    `json:"from,omitempty" doc:"name of the good copy"`
	At     time.Time `json:"at" doc:"when"`
	Record string    `json:"record" doc:"its record"`
}

func repairRow(r journal.Repair) Repair {
	return Repair{r.Hash, r.Path, r.Was, r.Aside, r.From, r.At, r.Record}
}
