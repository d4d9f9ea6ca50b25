// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Fumecast.Aerosol;
using Fumecast.Forecast;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Report;

/// <summary>Writes the series of a job as CSV, one row per bin, while it is computed.</summary>
/// <remarks>
/// Columns: <c>time_s</c> (start of the bin), <c>flow_mm3_per_s</c>, <c>mass_rate_g_per_h</c>, <c>nozzle_c</c>, then for each
/// agent <c>AGENT_per_min</c>, <c>AGENT_per_min_low</c> and <c>AGENT_per_min_high</c> (particles, or micrograms). All are means
/// over a whole bin, in the last row too, where the job ends before the bin does: so the sum of rate times bin length over the
/// rows is the total. Numbers are written so that they read back bit for bit, with a decimal point whatever the culture.
/// Formatting goes straight into a byte buffer: a table of a million rows must not cost more than the forecast.
/// </remarks>
/// <param name="output">Where to write; it is not closed. Only one that can seek allows a second <see cref="Begin"/>.</param>
/// <param name="binS">Length of a bin [s], over 0.</param>
public sealed class SeriesCsv(Stream output, double binS) : ISeriesSink
{
    /// <summary>Rows of a table [-]: eleven days in bins of a second; some 150 MB.</summary>
    public const long MostRows = 1_000_000;

    private const int LongestNumber = 32;
    private byte[] _buffer = new byte[1 << 16];
    private int _used;
    private bool _begun;
    private long _rows;

    /// <inheritdoc/>
    /// <exception cref="InvalidOperationException">It comes again, and the output cannot be rewound.</exception>
    public void Begin(IReadOnlyList<Agent> agents)
    {
        if (_begun)
        {
            // The job is read once more; what was written of it is void.
            if (!output.CanSeek)
            {
                throw new InvalidOperationException("the output cannot be rewound");
            }

            _used = 0;
            _rows = 0;
            output.SetLength(0);
        }

        _begun = true;
        var header = new StringBuilder("time_s,flow_mm3_per_s,mass_rate_g_per_h,nozzle_c");
        foreach (var agent in agents)
        {
            header.Append(',').Append(agent.Id).Append("_per_min,")
                .Append(agent.Id).Append("_per_min_low,")
                .Append(agent.Id).Append("_per_min_high");
        }

        output.Write(Encoding.UTF8.GetBytes(header.Append('\n').ToString()));
    }

    /// <inheritdoc/>
    /// <exception cref="InputProblem">The job is too long for its bins: over <see cref="MostRows"/> rows.</exception>
    public void Row(ref readonly SeriesRow row, ReadOnlySpan<Uncertain> ratesPerMin)
    {
        if (++_rows > MostRows)
        {
            throw new InputProblem(Amounts.Invariant(
                $"the series would have over {MostRows} rows of {binS:0.###} s, since the job lasts over {MostRows * binS / 86400:0.#} days; check its pauses (G4), or give longer bins, such as --bin {Math.Min(86400, Math.Ceiling(binS * 40)):0}s"));
        }

        MakeRoom((4 + (3 * ratesPerMin.Length)) * LongestNumber);

        // Exactly 1 for a full bin, so that nothing is lost by rounding there.
        var share = Math.Abs(row.DurationS - binS) <= 1e-9 * binS ? 1 : row.DurationS / binS;
        Number(row.TimeS, ',');
        Number(row.FlowMm3PerS * share, ',');
        Number(row.MassRateGPerH * share, ',');
        Number(row.NozzleC, ratesPerMin.IsEmpty ? '\n' : ',');
        for (var i = 0; i < ratesPerMin.Length; i++)
        {
            ref readonly var rate = ref ratesPerMin[i];
            Number(rate.Median * share, ',');
            Number(rate.Low * share, ',');
            Number(rate.High * share, i == ratesPerMin.Length - 1 ? '\n' : ',');
        }
    }

    /// <summary>Hands what is still in the buffer to the output; call once after the last row.</summary>
    public void Flush()
    {
        output.Write(_buffer, 0, _used);
        _used = 0;
    }

    private void MakeRoom(int needed)
    {
        if (_buffer.Length - _used >= needed)
        {
            return;
        }

        Flush();
        if (_buffer.Length < needed)
        {
            _buffer = new byte[needed];
        }
    }

    private void Number(double value, char after)
    {
        if (value == 0)
        {
            _buffer[_used++] = (byte)'0';
        }
        else if (value == (int)value)
        {
            // Whole numbers are common (times, steady temperatures) and much quicker to write as such.
            ((int)value).TryFormat(_buffer.AsSpan(_used), out var digits, provider: CultureInfo.InvariantCulture);
            _used += digits;
        }
        else
        {
            value.TryFormat(_buffer.AsSpan(_used), out var written, "R", CultureInfo.InvariantCulture);
            _used += written;
        }

        _buffer[_used++] = (byte)after;
    }
}
