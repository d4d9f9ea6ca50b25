// SPDX-License-Identifier: MIT
using System.Diagnostics;

namespace Fumecast.Cli;

/// <summary>One line on the terminal that says how far the work is; it appears after a second and leaves no trace.</summary>
/// <param name="error">The terminal.</param>
/// <param name="what">What is being done.</param>
/// <param name="count">Pieces of the work, to say <c>12 of 200</c> [-]; 1 for a share in per cent.</param>
internal sealed class ProgressLine(TextWriter error, string what, int count = 1) : IProgress<double>, IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan Rest = TimeSpan.FromMilliseconds(100);
    private readonly long _start = Stopwatch.GetTimestamp();
    private readonly Lock _gate = new();
    private TimeSpan _last;
    private bool _isShown;

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
            _isShown = true;
            var share = Math.Clamp(value, 0, 1);
            var state = count > 1 ? FormattableString.Invariant($"{share * count:0} of {count}") : FormattableString.Invariant($"{100 * share:0} %");
            error.Write($"\r{what} {state}\e[K");
        }
    }

    /// <summary>Takes the line away, to make room for another; it comes back with the next report.</summary>
    public void Clear()
    {
        lock (_gate)
        {
            if (_isShown)
            {
                error.Write("\r\e[K");
                _isShown = false;
            }
        }
    }

    /// <summary>Clears the line.</summary>
    public void Dispose() => Clear();
}
