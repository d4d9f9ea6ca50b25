// SPDX-License-Identifier: MIT
namespace Fumecast.Air;

/// <summary>Reads several sources side by side and says what they give off together, until the first of them changes.</summary>
internal sealed class SourceFeeds : IDisposable
{
    private readonly Feed[] _feeds;

    /// <summary>Opens the sources.</summary>
    /// <param name="sources">The sources.</param>
    /// <param name="run">The run that follows them.</param>
    /// <param name="model">Its air.</param>
    public SourceFeeds(IReadOnlyList<AirSource> sources, AirRun run, AirModel model) => _feeds =
    [
        .. sources.Select(source => new Feed(
            source.Steps.GetEnumerator(),
            model.IndexOf(source.Zone) is >= 0 and var zone ? zone : throw new ArgumentException("a source cannot stand outdoors"),
            [.. source.Agents.Select(run.Index)],
            source.StartS)),
    ];

    /// <summary>Adds the rates in force.</summary>
    /// <param name="timeS">Time of the run [s]; never before that of the last call.</param>
    /// <param name="perS">Rates agent by agent, zone by zone [unit for each s]; added to.</param>
    /// <param name="zones">Number of zones.</param>
    /// <returns>Until when they hold [s]; infinite when nothing changes any more.</returns>
    public double AddRates(double timeS, Span<double> perS, int zones)
    {
        var untilS = double.PositiveInfinity;
        foreach (var feed in _feeds)
        {
            feed.GoTo(timeS);
            untilS = Math.Min(untilS, feed.UntilS);
            if (feed.IsOn)
            {
                feed.AddTo(perS, zones);
            }
        }

        return untilS;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        foreach (var feed in _feeds)
        {
            feed.Dispose();
        }
    }

    private sealed class Feed(IEnumerator<SourceStep> steps, int zone, int[] agents, double startS) : IDisposable
    {
        /// <summary>End of the stretch in force [s]; before the first, its start; infinite after the last.</summary>
        public double UntilS { get; private set; } = startS;

        public bool IsOn { get; private set; }

        public void GoTo(double timeS)
        {
            while (UntilS <= timeS)
            {
                IsOn = steps.MoveNext();
                if (!IsOn)
                {
                    UntilS = double.PositiveInfinity;
                    return;
                }

                var seconds = steps.Current.Seconds;
                if (!(seconds >= 0))
                {
                    throw new ArgumentException("a stretch of a source has a length below 0");
                }

                UntilS += seconds;
            }
        }

        public void AddTo(Span<double> perS, int zones)
        {
            var given = steps.Current.PerS.Span;
            for (var i = 0; i < agents.Length; i++)
            {
                if (!(given[i] >= 0 && given[i] < double.PositiveInfinity))
                {
                    throw new ArgumentException("a source gives off less than nothing, or without end");
                }

                if (agents[i] >= 0)
                {
                    perS[agents[i] * zones + zone] += given[i];
                }
            }
        }

        public void Dispose() => steps.Dispose();
    }
}
