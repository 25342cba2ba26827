package page

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"reseat/cmd/internal/engine"
)

// mostRequest bounds what the page sends, in bytes: a job, or 100 000 readings.
const mostRequest = 20 << 20

// lookEvery is how often the job's file is looked at.
const lookEvery = 150 * time.Millisecond

// newHandler serves the page and answers it; nobody else is answered.
func newHandler(f *file, port int) http.Handler {
	e := &engine.Engine{}
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.Header().Set("Content-Security-Policy", policy())
		w.Write(assemble("server", "", ""))
	})
	mux.HandleFunc("POST /ask", func(w http.ResponseWriter, r *http.Request) {
		request, err := io.ReadAll(http.MaxBytesReader(w, r.Body, mostRequest))
		if err == nil {
			var answer []byte
			open, done := f.named.reading(f.beside)
			if answer, err = e.Ask(r.Context(), request, open); err == nil {
				done()
				reply(w, http.StatusOK, answer)
				return
			}
		}
		http.Error(w, err.Error(), http.StatusBadRequest)
	})
	mux.HandleFunc("GET /job", func(w http.ResponseWriter, _ *http.Request) { replyJSON(w, http.StatusOK, f.content()) })
	mux.HandleFunc("PUT /job", func(w http.ResponseWriter, r *http.Request) {
		var mine content
		if err := json.NewDecoder(http.MaxBytesReader(w, r.Body, mostRequest)).Decode(&mine); err != nil {
			http.Error(w, err.Error(), http.StatusBadRequest)
			return
		}
		now, err := f.save(mine)
		if err != nil {
			now.Says = err.Error()
			replyJSON(w, http.StatusConflict, now)
			return
		}
		replyJSON(w, http.StatusOK, now)
	})
	mux.HandleFunc("GET /events", func(w http.ResponseWriter, r *http.Request) { events(w, r, f) })
	own := []string{"127.0.0.1:" + strconv.Itoa(port), "localhost:" + strconv.Itoa(port)}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		origin, from := r.Header.Get("Origin"), r.Header.Get("Sec-Fetch-Site")
		switch {
		case !slices.Contains(own, r.Host),
			origin != "" && !slices.Contains(own, strings.TrimPrefix(origin, "http://")),
			from == "cross-site" || from == "same-site",
			r.Method == "POST" && r.Header.Get("Content-Type") != "application/json":
			http.Error(w, "this page answers itself alone", http.StatusForbidden)
		default:
			w.Header().Set("X-Content-Type-Options", "nosniff")
			w.Header().Set("Cache-Control", "no-store")
			w.Header().Set("Referrer-Policy", "no-referrer")
			mux.ServeHTTP(w, r)
		}
	})
}

func reply(w http.ResponseWriter, status int, body []byte) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	w.Write(body)
}

func replyJSON(w http.ResponseWriter, status int, v any) {
	body, err := json.Marshal(v)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	reply(w, status, body)
}

// content is the file as it is, and how often what it names was changed.
func (f *file) content() content {
	c := f.now()
	c.Named = f.named.changes(f.beside)
	return c
}

// events tells the page of the job's file as it is, now and whenever it or a file that it names changes.
func events(w http.ResponseWriter, r *http.Request, f *file) {
	w.Header().Set("Content-Type", "text/event-stream")
	flush := http.NewResponseController(w).Flush
	tick := time.NewTicker(lookEvery)
	defer tick.Stop()
	var last content
	for {
		if now := f.content(); now.Says == "" && (now.Stamp != last.Stamp || now.Named != last.Named) {
			last = now
			body, err := json.Marshal(now)
			if err != nil {
				return
			}
			fmt.Fprintf(w, "data: %s\n\n", body)
		}
		if flush() != nil {
			return
		}
		select {
		case <-r.Context().Done():
			return
		case <-tick.C:
		}
	}
}
