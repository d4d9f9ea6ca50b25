// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary>Turns Ctrl-C and the system's request to end into a token, so that half-written files are removed on the way out.</summary>
internal sealed class Interrupt : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(2);
    private readonly CancellationTokenSource _source = new();
    private readonly PosixSignalRegistration _interrupt;
    private readonly PosixSignalRegistration _terminate;
    private Timer? _hurry;

    public Interrupt()
    {
        _interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, OnSignal);
        _terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, OnSignal);
    }

    /// <summary>Cancelled by the first signal.</summary>
    public CancellationToken Token => _source.Token;

    public void Dispose()
    {
        _interrupt.Dispose();
        _terminate.Dispose();
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

        _source.Cancel();

        // A read from a silent pipe does not notice the token.
        _hurry = new Timer(static _ => End(), null, Patience, Timeout.InfiniteTimeSpan);
    }

    private static void End()
    {
        OutputFile.DiscardAll();
        Environment.Exit(ExitCode.Interrupted);
    }
}
