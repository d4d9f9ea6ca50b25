// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;

namespace Fumecast.Cli;

/// <summary>Turns Ctrl-C, Ctrl-\, a closed terminal and the system's request to end into a token, so that half-written files are removed on the way out.</summary>
internal sealed partial class Interrupt : IDisposable
{
    /// <summary>Longer than any work goes on without a look at the token; what still waits then is the system.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(2);

    /// <summary>SIG_IGN of Linux.</summary>
    private const nint Ignore = 1;

    private readonly CancellationTokenSource _source = new();
    private readonly List<PosixSignalRegistration> _registrations = [];
    private Timer? _hurry;

    public Interrupt()
    {
        foreach (var (signal, number) in new[] { (PosixSignal.SIGINT, 2), (PosixSignal.SIGTERM, 15), (PosixSignal.SIGHUP, 1), (PosixSignal.SIGQUIT, 3) })
        {
            // As under nohup: who started us wants us to go on.
            if (!IsIgnored(number))
            {
                _registrations.Add(PosixSignalRegistration.Create(signal, OnSignal));
            }
        }
    }

    /// <summary>Cancelled by the first signal.</summary>
    public CancellationToken Token => _source.Token;

    public void Dispose()
    {
        foreach (var registration in _registrations)
        {
            registration.Dispose();
        }

        _hurry?.Dispose();
        _source.Dispose();
    }

    private void OnSignal(PosixSignalContext context)
    {
        context.Cancel = true;
        if (_source.IsCancellationRequested)
        {
            End();
        }

        // A read from a silent pipe does not notice the token.
        _hurry = new Timer(static _ => End(), null, Patience, Timeout.InfiniteTimeSpan);
        _source.Cancel();
    }

    private static void End()
    {
        OutputSet.DiscardAll();
        using var error = StandardStreams.Error();
        error.Write("fumecast: interrupted; nothing was written\n");
        Environment.Exit(ExitCode.Interrupted);
    }

    /// <summary>Whether this process was started to ignore a signal.</summary>
    private static bool IsIgnored(int number)
    {
        Disposition now = default;
        return OperatingSystem.IsLinux() && AskSystem(number, 0, ref now) == 0 && now.Handler == Ignore;
    }

    [LibraryImport("libc", EntryPoint = "sigaction")]
    private static partial int AskSystem(int number, nint change, ref Disposition now);

    /// <summary>What the system does on a signal; only its start is looked at, which is the same on every processor.</summary>
    [StructLayout(LayoutKind.Sequential, Size = 256)]
    private struct Disposition
    {
        public nint Handler;
    }
}
