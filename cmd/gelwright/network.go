package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"path/filepath"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"gelwright/authority"
	"gelwright/authority/sheet"
	"gelwright/store"
	"gelwright/web"
)

// Names of the page by which phones learn to trust the server, beside the authority.
const (
	trustPDF  = "trust-this-server.pdf"
	trustHTML = "trust-this-server.html"
)

// standing is how a server is to stand on a network, as flags say it.
type standing struct {
	listen, handOut string
	names           []string
	https           bool
	perSecond       float64
	// public are names of the public network, for which the authority at directory issues; agreed says that its terms are agreed to.
	public          []string
	directory, mail string
	agreed          bool
}

// addPublic adds the flags of a name of the public network.
func (s *standing) addPublic(cmd *cobra.Command) {
	cmd.Flags().StringSliceVar(&s.public, "public", nil, "name of this server on the public network, for which a public authority issues "+
		"the certificate by ACME; its port 443 must lead here; may be given again")
	cmd.Flags().StringVar(&s.directory, "acme", "", "address of the public authority's ACME directory (without: that of Let's Encrypt)")
	cmd.Flags().StringVar(&s.mail, "acme-mail", "", "where the public authority writes when something is wrong with a certificate")
	cmd.Flags().BoolVar(&s.agreed, "acme-agree", false, "the public authority's terms of service were read and are agreed to")
}

// add adds the flags.
func (s *standing) add(cmd *cobra.Command) {
	cmd.Flags().StringSliceVar(&s.names, "name", nil, "a further name or address of this machine on its network; may be given again")
	cmd.Flags().StringVar(&s.handOut, "hand-out", "", "address and port from which phones fetch the firm's certificate, in the clear "+
		"(without: the port below that of --listen; none: nowhere)")
}

// outside reports whether the server is to be found from beyond this computer.
func (s *standing) outside() bool {
	if len(s.public) > 0 {
		return true
	}
	host, _, err := net.SplitHostPort(s.listen)
	at, bad := netip.ParseAddr(host)
	return err == nil && host != "localhost" && (bad != nil || !at.IsLoopback())
}

// beyond reports whether the server is to be encrypted: it listens beyond this computer, or is told to be.
func (s *standing) beyond() bool {
	_, _, err := net.SplitHostPort(s.listen)
	return err == nil && (s.https || s.outside())
}

// stood is a server's place on the network.
type stood struct {
	*web.Network
	keeper *authority.Keeper
	names  authority.Names
	made   bool
}

// stand makes the firm's authority, or takes the one that is there, and has it issue for this machine.
func (s *standing) stand(data string, log *slog.Logger) (*stood, error) {
	names, err := authority.Machine(s.names...)
	if err != nil {
		return nil, coded{exitUsage, fmt.Errorf("--name: %w", err)}
	}
	a, made, err := authority.Begin(data, names, time.Now())
	if err != nil {
		return nil, err
	}
	keeper, err := authority.Keep(data, a, func() (authority.Names, error) { return authority.Machine(s.names...) }, time.Now, log)
	if err != nil {
		return nil, err
	}
	return &stood{&web.Network{Certificate: keeper.Certificate, Has: keeper.Has, PerSecond: s.perSecond}, keeper, a.May(names), made}, nil
}

// host is where other machines find what listens on an address: the address itself where the certificate is for it, else the
// machine's best.
func host(on string, names authority.Names) string {
	name, port, err := net.SplitHostPort(on)
	if err != nil {
		return on
	}
	if !names.Has(name) {
		name = names.Best()
	}
	return net.JoinHostPort(name, port)
}

// handOutAt is the address that hands the certificate out; empty for none.
func (s *standing) handOutAt() (string, error) {
	name, port, err := net.SplitHostPort(s.listen)
	n, bad := strconv.Atoi(port)
	switch {
	case s.handOut == "none":
		return "", nil
	case s.handOut != "":
		if _, _, err := net.SplitHostPort(s.handOut); err != nil {
			return "", coded{exitUsage, fmt.Errorf("--hand-out: %q is no address and port: write :8442, or none", s.handOut)}
		}
		return s.handOut, nil
	case err != nil || bad != nil || n < 2:
		return "", nil
	}
	return net.JoinHostPort(name, strconv.Itoa(n-1)), nil
}

// handingOut hands the certificate out until ctx is done; at is where, empty for nowhere.
func (x *stood) handingOut(ctx context.Context, at string) (fetch string, ended <-chan error, err error) {
	done := make(chan error, 1)
	if at == "" {
		close(done)
		return "", done, nil
	}
	on, err := new(net.ListenConfig).Listen(ctx, "tcp", at)
	if err != nil {
		return "", nil, fmt.Errorf("--hand-out: the port from which phones fetch the firm's certificate: %w; give another, or none", err)
	}
	server := authority.HandOutServer(x.keeper.Authority)
	context.AfterFunc(ctx, func() { server.Close() })
	go func() {
		if err := server.Serve(on); !errors.Is(err, http.ErrServerClosed) {
			done <- err
		}
		close(done)
	}()
	return "http://" + host(on.Addr().String(), x.names) + "/", done, nil
}

// layPages writes the printed page beside the authority and gives its path.
func layPages(data string, a *authority.Authority, server, fetch string) (string, error) {
	f := sheet.Facts{Server: server, Fetch: fetch, Name: a.Name(), File: authority.HandOutName, Fingerprint: a.Fingerprint(),
		Domains: a.Domains(), Made: a.Begins().Add(authority.Backdated), Ends: a.Ends()}
	paper, err := sheet.PDF(f)
	if err != nil {
		return "", err
	}
	page, err := sheet.HTML(f)
	if err != nil {
		return "", err
	}
	dir, err := a.Lay(data, authority.File{Name: trustPDF, Content: paper}, authority.File{Name: trustHTML, Content: page})
	return filepath.Join(dir, trustPDF), err
}

// tell says what a server on the network has to say at its start, below the address.
func (x *stood) tell(out io.Writer, page, fetch string) {
	if x.made {
		fmt.Fprintln(out, "the firm's own authority was made: each phone and computer has to be told once to trust it")
	}
	fmt.Fprintln(out, "how, step by step, to print:", page)
	if fetch != "" {
		fmt.Fprintln(out, "phones fetch its certificate from:", fetch)
	}
}

// tellFirst prints the address by which the first owner is made, where nobody has an account yet.
func tellFirst(cmd *cobra.Command, server *web.Server, address string) error {
	link, ends, err := server.FirstLink(cmd.Context(), address)
	if err == nil && link != "" {
		fmt.Fprintf(cmd.OutOrStdout(), "nobody has an account yet: the first owner opens this address, once, before %s:\n%s\n",
			ends.Local().Format("15:04"), link)
	}
	return err
}

// servePublic answers under names of the public network until the program is told to end.
func (s *standing) servePublic(cmd *cobra.Command, server *web.Server, data string, job store.ID) error {
	if !s.agreed {
		return coded{exitUsage, errors.New("--public: a public authority issues to those alone who agree to its terms: " +
			"read them, and say --acme-agree")}
	}
	if len(s.names) > 0 || s.handOut != "" {
		return coded{exitUsage, errors.New("--public: under a public certificate no phone has to be told anything: " +
			"leave --name and --hand-out out")}
	}
	public, err := authority.NewPublic(data, authority.Asked{Names: s.public, Directory: s.directory, Mail: s.mail})
	if err != nil {
		return coded{exitUsage, fmt.Errorf("--public: %w", err)}
	}
	server.Network = &web.Network{Certificate: public.Certificate, Protocols: public.Protocols(), Has: public.Has,
		PerSecond: s.perSecond, Public: true}
	on, err := server.Listen(cmd.Context(), s.listen)
	if err != nil {
		return coded{exitUsage, fmt.Errorf("--listen: %w", err)}
	}
	defer on.Close()
	name := public.Names()[0]
	fmt.Fprintln(cmd.OutOrStdout(), web.Address("https", name, job))
	if err := tellFirst(cmd, server, web.Address("https", name, "")); err != nil {
		return err
	}
	tellSystem("READY=1")
	defer tellSystem("STOPPING=1")
	go public.Fetch(server.Log)
	return server.Serve(cmd.Context(), on)
}

// serveNetwork answers on a network until the program is told to end: the port is opened first, so that a server that may not
// listen there makes no authority.
func (s *standing) serveNetwork(cmd *cobra.Command, server *web.Server, data string, job store.ID) error {
	if len(s.public) > 0 {
		return s.servePublic(cmd, server, data, job)
	}
	fetchAt, err := s.handOutAt()
	if err != nil {
		return err
	}
	server.Network = &web.Network{}
	on, err := server.Listen(cmd.Context(), s.listen)
	if err != nil {
		return coded{exitUsage, fmt.Errorf("--listen: %w", err)}
	}
	defer on.Close()
	x, err := s.stand(data, server.Log)
	if err != nil {
		return err
	}
	server.Network = x.Network
	ctx, end := context.WithCancel(cmd.Context())
	defer end()
	fetch, handedOut, err := x.handingOut(ctx, fetchAt)
	if err != nil {
		return err
	}
	at := host(on.Addr().String(), x.names)
	page, err := layPages(data, x.keeper.Authority(), web.Address("https", at, ""), fetch)
	if err != nil {
		return err
	}
	fmt.Fprintln(cmd.OutOrStdout(), web.Address("https", at, job))
	if s.outside() {
		if err := tellFirst(cmd, server, web.Address("https", at, "")); err != nil {
			return err
		}
	}
	x.tell(cmd.OutOrStdout(), page, fetch)
	tellSystem("READY=1")
	defer tellSystem("STOPPING=1")
	err = server.Serve(ctx, on)
	end()
	return errors.Join(err, <-handedOut)
}
