// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.Forecast;

namespace Fumecast.Report;

/// <summary>Writes levels over time as CSV: <c>time_s</c>, then for each zone and agent <c>ZONE_AGENT_UNIT</c> with <c>_low</c> and <c>_high</c>, such as <c>room_particle_number_per_cm3_low</c>.</summary>
public static class AirCsv
{
    /// <summary>Writes the table.</summary>
    /// <param name="output">Where to write, in UTF-8; it is not closed.</param>
    /// <param name="outcome">The forecast, with its series.</param>
    public static void WriteSeries(Stream output, AirOutcome outcome)
    {
        ArgumentNullException.ThrowIfNull(outcome);
        using var to = new StreamWriter(output, new UTF8Encoding(false), 1 << 16, leaveOpen: true);
        var header = new CsvRow().Text("time_s");
        foreach (var series in outcome.Series)
        {
            var name = $"{series.Zone}_{series.Agent.Id}_{AirUnits.Of(series.Agent)}";
            header.Text(name).Text(name + "_low").Text(name + "_high");
        }

        header.Write(to);
        for (var t = 0; t < (outcome.Series.Count > 0 ? outcome.Series[0].TimesS.Count : 0); t++)
        {
            var row = new CsvRow().Number(outcome.Series[0].TimesS[t]);
            foreach (var series in outcome.Series)
            {
                row.Number(series.Levels[t].Median).Number(series.Levels[t].Low).Number(series.Levels[t].High);
            }

            row.Write(to);
        }
    }
}
