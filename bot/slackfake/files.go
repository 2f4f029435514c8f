package slackfake

import (
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"path"
	"strconv"
	"strings"
)

// Uploads go in three steps: https://docs.slack.dev/messaging/working-with-files#uploading_files

// https://docs.slack.dev/reference/methods/files.getUploadURLExternal
func (s *Server) uploadURL(a args, _ []byte) (reply, *Refusal) {
	n, err := strconv.Atoi(a.str("length"))
	if a.str("filename") == "" || err != nil || n <= 0 {
		return refuse("invalid_arguments")
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	f := &File{ID: s.mint("F"), Name: a.str("filename"), Alt: a.str("alt_txt"), MIME: mime.TypeByExtension(path.Ext(a.str("filename"))), User: BotUser, length: n}
	f.key = s.mint("up")
	s.files.put(f.ID, f)
	return reply{"upload_url": s.base + "/upload/" + f.ID + "/" + f.key, "file_id": f.ID}, nil
}

const maxFile = 32 << 20 // bytes; of this fake, not of the service

// upload takes the bytes. It answers as the service does: "OK - " and the length.
func (s *Server) upload(w http.ResponseWriter, r *http.Request) {
	if f := s.fault("upload"); f != nil {
		s.spoil(w, r, f)
		return
	}
	id, key, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, "/upload/"), "/")
	body := io.Reader(http.MaxBytesReader(w, r.Body, maxFile))
	if kind, params, _ := mime.ParseMediaType(r.Header.Get("Content-Type")); kind == "multipart/form-data" {
		part, err := multipart.NewReader(body, params["boundary"]).NextPart()
		if err != nil {
			http.Error(w, "bad form", http.StatusBadRequest)
			return
		}
		body = part
	}
	data, err := io.ReadAll(body)
	s.mu.Lock()
	defer s.mu.Unlock()
	f, ok := s.files.get(id)
	switch {
	case err != nil:
		http.Error(w, "too large", http.StatusRequestEntityTooLarge)
	case !ok || f.key != key || f.complete:
		http.Error(w, "not found", http.StatusNotFound)
	case len(data) != f.length:
		s.violate("upload", "want as many bytes as were announced")
		http.Error(w, "length mismatch", http.StatusBadRequest)
	default:
		f.Data = data
		_, _ = io.WriteString(w, "OK - "+strconv.Itoa(len(data)))
	}
}

// https://docs.slack.dev/reference/methods/files.completeUploadExternal
func (s *Server) completeUpload(a args, raw []byte) (reply, *Refusal) {
	v, err := unpacked(a["files"])
	wanted := list(v)
	if err != nil || len(wanted) == 0 {
		return refuse("invalid_arguments")
	}
	m := Message{Method: "files.completeUploadExternal", Raw: raw, Text: a.str("initial_comment"), Thread: a.str("thread_ts")}
	if a["blocks"] != nil && a.str("blocks") != "null" {
		if m.Text != "" {
			return refuse("invalid_arguments") // one or the other
		}
		checked, refused := checkMessage(args{"blocks": a["blocks"]}, s.rules())
		if refused != nil {
			return nil, refused
		}
		m.Blocks = checked.Blocks
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	var places []Channel
	for id := range strings.SplitSeq(a.str("channel_id")+","+a.str("channels"), ",") {
		if id = strings.TrimSpace(id); id == "" {
			continue
		}
		c, refused := s.place(id)
		if refused != nil {
			return nil, refused
		}
		places = append(places, c)
	}
	var files []*File
	for _, w := range wanted {
		w, _ := w.(map[string]any)
		id, _ := w["id"].(string)
		f, ok := s.files.get(id)
		if !ok || f.Data == nil || f.complete {
			return refuse("file_not_found")
		}
		f.Title, _ = w["title"].(string)
		files = append(files, f)
	}
	out := []any{}
	for _, f := range files {
		f.complete = true
		m.Files = append(m.Files, *f)
		out = append(out, map[string]any{"id": f.ID, "title": f.Title})
		s.add(Record{Kind: Uploaded, Method: m.Method, File: *f})
	}
	for _, c := range places {
		m.Channel = c.ID
		s.keepMessage(m)
	}
	return reply{"files": out}, nil
}

// https://docs.slack.dev/reference/methods/files.info
func (s *Server) filesInfo(a args, _ []byte) (reply, *Refusal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	f, ok := s.files.get(a.str("file"))
	if !ok || !f.complete {
		return refuse("file_not_found")
	}
	return reply{"file": s.fileObject(*f)}, nil
}

func (s *Server) fileObject(f File) map[string]any {
	at := s.base + "/files-pri/" + f.ID + "/" + f.Name
	return map[string]any{"id": f.ID, "created": 1, "timestamp": 1, "name": f.Name, "title": f.Title, "mimetype": f.MIME,
		"filetype": strings.TrimPrefix(path.Ext(f.Name), "."), "user": f.User, "size": len(f.Data), "mode": "hosted", "is_external": false,
		"is_public": false, "file_access": "visible", "url_private": at, "url_private_download": at}
}

// AddFile keeps a file that a person shares, for MessageWithFile. A bot fetches it
// with its token.
func (s *Server) AddFile(user, name string, data []byte) File {
	s.mu.Lock()
	defer s.mu.Unlock()
	f := &File{ID: s.mint("F"), Name: name, Title: name, MIME: mime.TypeByExtension(path.Ext(name)), User: user, Data: data, complete: true}
	s.files.put(f.ID, f)
	return *f
}

// download gives a file to who has the token. Without one the service answers with
// the page to sign in at, and status 200.
func (s *Server) download(w http.ResponseWriter, r *http.Request) {
	id, _, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, "/files-pri/"), "/")
	f, ok := s.File(id)
	switch {
	case r.Header.Get("Authorization") != "Bearer "+s.opt.BotToken:
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		_, _ = io.WriteString(w, "<!DOCTYPE html><title>Sign in</title>")
	case !ok:
		http.NotFound(w, r)
	default:
		w.Header().Set("Content-Type", f.MIME)
		_, _ = w.Write(f.Data)
	}
}
