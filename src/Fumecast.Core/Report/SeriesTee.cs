// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Forecast;
using Fumecast.Uncertainty;

namespace Fumecast.Report;

/// <summary>Passes a series on to several receivers, such as a table and a picture.</summary>
/// <param name="receivers">The receivers, in the order in which they are called.</param>
internal sealed class SeriesTee(params ISeriesSink[] receivers) : ISeriesSink
{
    /// <inheritdoc/>
    public long MostRows => receivers.Where(receiver => IsOptional || !receiver.IsOptional).Min(static receiver => receiver.MostRows);

    /// <inheritdoc/>
    public bool IsOptional => receivers.All(static receiver => receiver.IsOptional);

    /// <inheritdoc/>
    public void Begin(IReadOnlyList<Agent> agents)
    {
        foreach (var receiver in receivers)
        {
            receiver.Begin(agents);
        }
    }

    /// <inheritdoc/>
    public void Row(ref readonly SeriesRow row, ReadOnlySpan<Uncertain> ratesPerMin)
    {
        foreach (var receiver in receivers)
        {
            receiver.Row(in row, ratesPerMin);
        }
    }
}
