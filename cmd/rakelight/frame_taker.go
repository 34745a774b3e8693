// A video program that takes stills out of clips, where it is there. Nothing else of
// Rakelight depends on it.

package main

import (
	"context"
	"os/exec"
	"time"
)

// frameTime is how long one still may take.
const frameTime = 10 * time.Second

// frameTaker takes a still out of a clip, nil where no program for it is there. The
// program reads the one file, and nothing that the file may name.
func frameTaker() func(ctx context.Context, clip, jpeg string) error {
	program, err := findEncoder()
	if err != nil {
		return nil
	}
	return func(ctx context.Context, clip, jpeg string) error {
		ctx, stop := context.WithTimeout(ctx, frameTime)
		defer stop()
		cmd := exec.CommandContext(ctx, program, "-hide_banner", "-loglevel", "error", "-nostdin", "-y",
			"-threads", "1", "-protocol_whitelist", "file", "-i", "file:"+clip, "-map", "0:v:0",
			"-vf", "thumbnail=30,scale='min(960,iw)':-2", "-frames:v", "1",
			"-map_metadata", "-1", "-f", "mjpeg", "file:"+jpeg)
		cmd.WaitDelay = time.Second
		return cmd.Run()
	}
}
