// A program that makes films of other kinds, where the person asks for one and it is
// there. Nothing else of Rakelight depends on it.

package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io"
	"os/exec"
	"strings"

	"rakelight/journal/disk"
	"rakelight/media/film"
)

// filmWriter takes the pictures of a film one after another.
type filmWriter interface {
	AddImage(img image.Image, quality, times int) error
	Close() error
}

// encoders are what ffmpeg is told for a film of an ending.
var encoders = map[string][]string{
	".mp4":  {"-c:v", "libx264", "-crf", "18", "-pix_fmt", "yuv420p", "-movflags", "+faststart", "-f", "mp4"},
	".webm": {"-c:v", "libvpx-vp9", "-crf", "24", "-b:v", "0", "-pix_fmt", "yuv420p", "-f", "webm"},
}

// findEncoder is where ffmpeg lies.
func findEncoder() (string, error) { return exec.LookPath("ffmpeg") }

// writer is what writes a film of an ending into a file.
func (o *filmOptions) writer(ctx context.Context, tmp disk.File, ending string, rate film.Rate) (filmWriter, error) {
	if o.encoder == "" {
		return film.NewWriter(tmp, o.look.Width, o.look.Height, rate)
	}
	return startEncoder(ctx, o.encoder, tmp.Name(), encoders[ending], rate)
}

// encoder feeds a running program with JPEG pictures.
type encoder struct {
	cmd  *exec.Cmd
	to   io.WriteCloser
	said bytes.Buffer // its errors
}

// startEncoder starts the program, which writes over the file. It ends with ctx.
func startEncoder(ctx context.Context, program, file string, how []string, rate film.Rate) (*encoder, error) {
	args := []string{"-hide_banner", "-loglevel", "error", "-y", "-f", "image2pipe", "-c:v", "mjpeg",
		"-framerate", fmt.Sprintf("%d/%d", rate.Frames, rate.Seconds), "-i", "-", "-map_metadata", "-1",
		"-fflags", "+bitexact", "-r", "25"}
	e := &encoder{cmd: exec.CommandContext(ctx, program, append(append(args, how...), file)...)}
	e.cmd.Stderr = &e.said
	var err error
	if e.to, err = e.cmd.StdinPipe(); err != nil {
		return nil, err
	}
	return e, e.cmd.Start()
}

func (e *encoder) AddImage(img image.Image, quality, times int) error {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}); err != nil {
		return err
	}
	for range times {
		if _, err := e.to.Write(b.Bytes()); err != nil {
			return err
		}
	}
	return nil
}

// Close waits until the program has written all.
func (e *encoder) Close() error {
	closed := e.to.Close()
	if err := e.cmd.Wait(); err != nil {
		said, _, _ := strings.Cut(strings.TrimSpace(e.said.String()), "\n")
		return fmt.Errorf("ffmpeg made no film: %w: %s", err, said)
	}
	return closed
}

// errorsOf is why a film ends early; where a program writes it, what that said, too.
func errorsOf(err error, to filmWriter) error {
	e, runs := to.(*encoder)
	if !runs {
		return err
	}
	if ended := e.Close(); ended != nil && !errors.Is(err, context.Canceled) {
		return errors.Join(ended, err)
	}
	return err
}
