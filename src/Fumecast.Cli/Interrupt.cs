// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Runtime.InteropServices;

namespace Fumecast.Cli;

/// <summary>Turns Ctrl-C, Ctrl-\, a closed terminal and the system's request to end into a token, so that half-written files are removed on the way out.</summary>
internal sealed class Interrupt : IDisposable
{
    /// <summary>Longer than any work goes on without a look at the token; what still waits then is the system.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(2);

    private readonly CancellationTokenSource _source = new();
    private readonly List<PosixSignalRegistration> _registrations = [];
    private Timer? _hurry;

    public Interrupt()
    {
        var ignored = IgnoredSignals();
        foreach (var (signal, number) in new[] { (PosixSignal.SIGINT, 2), (PosixSignal.SIGTERM, 15), (PosixSignal.SIGHUP, 1), (PosixSignal.SIGQUIT, 3) })
        {
            // As under nohup: who started us wants us to go on.
            if ((ignored >> (number - 1) & 1) == 0)
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

    /// <summary>The signals that this process was started to ignore, one bit for each.</summary>
    private static ulong IgnoredSignals()
    {
        const string Key = "SigIgn:";
        try
        {
            return OperatingSystem.IsLinux() && File.ReadLines("/proc/self/status").FirstOrDefault(static line => line.StartsWith(Key, StringComparison.Ordinal)) is { } line
                && ulong.TryParse(line.AsSpan(Key.Length).Trim(), NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out var mask) ? mask : 0;
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException)
        {
            return 0;
        }
    }
}
