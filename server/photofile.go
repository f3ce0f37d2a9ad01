package main

import (
	"bytes"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"time"

	"drosswise/server/photo"
)

// Limits of a form with a photo. A file that is a little too large still comes
// in, to be refused in a sentence.
const (
	maxPhotoBody = photo.MaxBytes + 2<<20
	maxPhotoText = 64 << 10 // of all other fields
	photosAtOnce = 2        // that are taken in
)

// takesPhoto reports whether a request is one that a photo comes with.
func takesPhoto(r *http.Request) bool {
	return r.Method == http.MethodPost && strings.HasSuffix(r.URL.Path, "/photos")
}

// readFile takes a form with a file out of a request, the file whole. Only so
// many come in at once; the others wait, and what they send waits in the net.
func (a *app) readFile(w http.ResponseWriter, r *http.Request, v visit) (*form, []byte, error) {
	if err := http.NewResponseController(w).SetReadDeadline(time.Now().Add(maxTime)); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return nil, nil, err
	}
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, nil, errBadForm
	}
	select {
	case a.uploads <- struct{}{}:
		defer func() { <-a.uploads }()
	case <-r.Context().Done():
		return nil, nil, r.Context().Err()
	}
	values, file, err := readParts(parts, r.ContentLength)
	f := newForm(values, v.style)
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return nil, nil, errTooLarge
	case err != nil:
		return nil, nil, errBadForm
	}
	return f, file, nil
}

// readParts reads the fields of a form and its photo.
func readParts(parts *multipart.Reader, length int64) (url.Values, []byte, error) {
	values, left := url.Values{}, int64(maxPhotoText)
	var file bytes.Buffer
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			return values, file.Bytes(), nil
		}
		if err != nil {
			return nil, nil, err
		}
		if part.FormName() == "photo" {
			file.Reset()
			file.Grow(int(min(max(length, 0), maxPhotoBody)) + bytes.MinRead)
			if _, err := file.ReadFrom(part); err != nil {
				return nil, nil, err
			}
			continue
		}
		text, err := io.ReadAll(io.LimitReader(part, left+1))
		if left -= int64(len(text)); err != nil || left < 0 {
			return nil, nil, errors.Join(err, errBadForm)
		}
		values.Add(part.FormName(), string(text))
	}
}
