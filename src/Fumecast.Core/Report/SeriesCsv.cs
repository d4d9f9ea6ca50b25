// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Fumecast.Aerosol;
using Fumecast.Forecast;
using Fumecast.Inputs;
using Fumecast.Machine;
using Fumecast.Uncertainty;

namespace Fumecast.Report;

/// <summary>Writes the series of a job as CSV, one row per bin, while it is computed.</summary>
/// <remarks>
/// Columns: <c>time_s</c> (start of the bin), <c>flow_mm3_per_s</c>, <c>mass_rate_g_per_h</c>, <c>nozzle_c</c>, then for each
/// agent <c>AGENT_per_min</c>, <c>AGENT_per_min_low</c> and <c>AGENT_per_min_high</c>, for masses <c>AGENT_ug_per_min</c> and so on. All are means
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
    long ISeriesSink.MostRows => MostRows;

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
            var name = agent.Unit == "1" ? $"{agent.Id}_per_min" : $"{agent.Id}_{agent.Unit}_per_min";
            header.Append(',').Append(name).Append(',').Append(name).Append("_low,").Append(name).Append("_high");
        }

        output.Write(Encoding.UTF8.GetBytes(header.Append('\n').ToString()));
    }

    /// <inheritdoc/>
    /// <exception cref="InputProblem">The job is too long for its bins: over <see cref="MostRows"/> rows.</exception>
    public void Row(ref readonly SeriesRow row, ReadOnlySpan<Uncertain> ratesPerMin)
    {
        if (++_rows > MostRows)
        {
            throw new InputProblem(SeriesLength.TooLong(MostRows, binS));
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
