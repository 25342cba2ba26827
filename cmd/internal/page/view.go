package page

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/signal"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
)

// mostPort is the highest port number there is.
const mostPort = 65535

// NewView serves the page.
func NewView(s command.Streams) *cobra.Command {
	var port int
	cmd := &cobra.Command{
		Use:   "view [JOB]",
		Short: "Work on a job in a page: drawing, verdict, sizes, readings",
		Long: `Serves a page on this computer alone, and prints its address: open that in a browser. It
shows the plate with pins, window and board, the verdict and what to do next; sizes are
changed in fields, readings typed in, files downloaded. Nothing is written until Save,
which keeps the file's comments; what an editor saves shows at once, in the job and in the
files that it names. Without JOB the page begins with a starter job that is not a file yet.
Ctrl-C ends it.`,
		Example: `  # open the address that it prints
  $ reseat view fingerboard.yaml

  # always the same address
  $ reseat view fingerboard.yaml --port 8090`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return command.Usage("view wants one job file at most, got %d: reseat view [JOB]", len(args))
			}
			if port < 0 || port > mostPort {
				return command.Usage("--port %d: want 0 to %d; 0: any that is free", port, mostPort)
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			path := ""
			if len(args) == 1 {
				path = args[0]
			}
			f, err := openFile(path)
			if err != nil {
				return err
			}
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			return serve(ctx, f, port, func(address string) {
				fmt.Fprintf(s.Out, "open %s in a browser; Ctrl-C here ends it\n", address)
			})
		},
	}
	cmd.Flags().IntVar(&port, "port", 0, "port of the address (default: any that is free)")
	return cmd
}

// serve serves the page until the context ends; ready is told the address.
func serve(ctx context.Context, f *file, port int, ready func(address string)) error {
	l, err := net.Listen("tcp", fmt.Sprintf("127.0.0.1:%d", port))
	if err != nil {
		return fmt.Errorf("port %d cannot be had: %w; another one: --port", port, err)
	}
	srv := &http.Server{
		Handler: newHandler(f, l.Addr().(*net.TCPAddr).Port), BaseContext: func(net.Listener) context.Context { return ctx },
		ReadHeaderTimeout: 10 * time.Second,
	}
	ended := make(chan error, 1)
	go func() { ended <- srv.Serve(l) }()
	ready("http://" + l.Addr().String() + "/")
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
		patient, cancel := context.WithTimeout(context.Background(), time.Second)
		defer cancel()
		if err := srv.Shutdown(patient); err != nil && !errors.Is(err, context.DeadlineExceeded) {
			return err
		}
		return nil
	}
}
