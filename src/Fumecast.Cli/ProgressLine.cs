// SPDX-License-Identifier: MIT
using System.Diagnostics;

namespace Fumecast.Cli;

/// <summary>One line on the terminal that says how far the work is; it appears after a second and leaves no trace.</summary>
/// <param name="error">The terminal.</param>
/// <param name="what">What is being done.</param>
internal sealed class ProgressLine(TextWriter error, string what) : IProgress<double>, IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan Rest = TimeSpan.FromMilliseconds(100);
    private readonly long _start = Stopwatch.GetTimestamp();
    private readonly Lock _gate = new();
    private TimeSpan _last;

    /// <summary>Takes the share done [-], 0 to 1.</summary>
    public void Report(double value)
    {
        lock (_gate)
        {
            var elapsed = Stopwatch.GetElapsedTime(_start);
            if (elapsed < Patience || elapsed - _last < Rest)
            {
                return;
            }

            _last = elapsed;
            error.Write(FormattableString.Invariant($"\r{what} {100 * Math.Clamp(value, 0, 1):0} %\e[K"));
        }
    }

    /// <summary>Clears the line.</summary>
    public void Dispose()
    {
        if (_last > TimeSpan.Zero)
        {
            error.Write("\r\e[K");
        }
    }
}
