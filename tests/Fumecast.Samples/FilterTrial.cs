// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;

namespace Fumecast.Samples;

/// <summary>
/// A trial at the repair café: a steady print in the reading room, once as it is and once with a filter beside the printer, and a quiet day. All of it is invented;
/// the logs are made from known figures, so that what comes out can be held against them.
/// </summary>
public static class FilterTrial
{
    /// <summary>Air in the room [m3].</summary>
    public const double VolumeM3 = 45;

    /// <summary>Loss rate without the filter [1/h].</summary>
    public const double LossPerH = 0.8;

    /// <summary>What the filter delivers [m3/h].</summary>
    public const double CleanAirM3PerH = 70;

    /// <summary>What the meter can see of what is given off for each gram [ug/g].</summary>
    public const double EmissionPerG = 60;

    private const double LineMmPerS = 24, LineMm = 140, HeightMm = 0.24, WidthMm = 0.5, FilamentMm = 1.75, DensityGPerCm3 = 1.04;
    private const double PrintH = 2.5;

    /// <summary>Mass that the job lays down in an hour [g/h].</summary>
    public static double FlowGPerH => LineMmPerS * HeightMm * WidthMm * DensityGPerCm3 / 1000 * 3600;

    /// <summary>The files of the trial, by name.</summary>
    public static IReadOnlyList<(string Name, string Text)> Files() =>
    [
        ("wall.gcode", Job()),
        ("room.yaml", Room),
        ("notebook.yaml", Notebook),
        ("quiet-day.csv", Log(new SimulatedRun { EmissionPerG = 0, BeforeH = 0, Flow = [(4, 0)], AfterH = 0 }, 11, new DateTime(2026, 11, 19, 13, 30, 0), ',')),
        ("no-filter.csv", Log(Run(LossPerH) with { Steps = [(6.1, 9, 5)], AfterH = 4.5 }, 12, new DateTime(2026, 11, 20, 13, 0, 0), ',')),
        ("with-filter.csv", Log(Run(LossPerH + CleanAirM3PerH / VolumeM3), 13, new DateTime(2026, 11, 21, 13, 10, 0), ';')),
        ("README.md", Story),
    ];

    private static SimulatedRun Run(double lossPerH) => new()
    {
        VolumeM3 = VolumeM3,
        LossPerH = lossPerH,
        EmissionPerG = EmissionPerG,
        Flow = [(PrintH, FlowGPerH)],
        BeforeH = 1.25,
        AfterH = 3,
        DelayH = 6.0 / 60,
        Background = 4,
        DriftPerH = 0.05,
        DisplayStep = 1,
    };

    /// <summary>A log as a meter writes it: with a point and commas, or with a decimal comma and semicolons.</summary>
    private static string Log(SimulatedRun run, int number, DateTime from, char delimiter)
    {
        var text = new StringBuilder(delimiter == ';' ? "Datum;Uhrzeit;Feinstaub PM2,5 (µg/m³);Temperatur (°C)\n" : "Time,PM2.5 (ug/m3),Temperature (C)\n");
        var random = new Random(number);
        var (starts, values) = run.Readings(random);
        for (var i = 0; i < starts.Length; i++)
        {
            var at = from.AddMinutes(Math.Round(starts[i] * 60));
            var warm = Math.Round(20.5 + 1.5 * Math.Min(1, starts[i] / 4) + 0.1 * SimulatedRun.Normal(random), 1);
            text.Append(delimiter == ';'
                ? string.Create(CultureInfo.InvariantCulture, $"{at:dd.MM.yyyy};{at:HH:mm};{values[i]:0};{warm.ToString("0.0", CultureInfo.InvariantCulture).Replace('.', ',')}\n")
                : string.Create(CultureInfo.InvariantCulture, $"{at:yyyy-MM-dd HH:mm},{values[i]:0},{warm:0.0}\n"));
        }

        return text.ToString();
    }

    /// <summary>A square wall, one line wide, at one speed all the way.</summary>
    private static string Job()
    {
        var text = new StringBuilder();
        var feed = LineMm * HeightMm * WidthMm / (Math.PI * FilamentMm * FilamentMm / 4);
        var lines = (int)(PrintH * 3600 * LineMmPerS / LineMm);
        text.Append(CultureInfo.InvariantCulture, $"; repair café, a steady print to try a filter with: a square wall of {lines / 4} layers\n; material abs\n; filament diameter 1.75 mm\n; density 1.04 g/cm3\n");
        text.Append("M140 S100\nM190 S100\nM104 S245\nG28\nG90\nM83\nM109 S245\nM204 P1500 T1500\nG0 X40 Y40 Z0.24 F6000\n");
        ReadOnlySpan<string> corners = ["X180 Y40", "X180 Y180", "X40 Y180", "X40 Y40"];
        for (var line = 0; line < lines; line++)
        {
            var climbs = line % 4 == 0 && line > 0 ? string.Create(CultureInfo.InvariantCulture, $" Z{HeightMm * (1 + line / 4):0.00}") : "";
            text.Append(CultureInfo.InvariantCulture, $"G1 {corners[line % 4]}{climbs} E{feed:0.00000}{(line == 0 ? " F1440" : "")}\n");
        }

        return text.Append("M104 S0\nM140 S0\nG0 Y200 F6000\nM84\n").ToString();
    }

    private const string Room = """
        # SPDX-License-Identifier: MIT
        # The reading room of the town library as it was on the days of the trial: door and window shut, nothing around the printer. Invented, like the library.
        schema: fumecast/room/1
        id: reading-room-shut
        description: the reading room with door and window shut, an open printer in it
        origin: {source: OWN, where: paced out and judged, known: assumed, grade: D, why: a tape measure would tell}
        zones:
          room: {volume: 42 to 48 m3, deposition: {particles: 0.1 to 0.6 1/h}}
        air:
          - {loop: [outdoors, room], name: ventilation, changes: 0.3 to 1 1/h, of: room}
        sources:
          OWN: {citation: "the cafe's own notes, invented", known: read}

        """;

    private const string Notebook = """
        # SPDX-License-Identifier: MIT
        # What the volunteers wrote down. Invented, like the library.
        schema: fumecast/notebook/1
        room: room.yaml
        meter: optical-pm
        held: {window: shut, door: shut, room fan: none}
        runs:
          - {name: quiet day, log: quiet-day.csv}
          - {name: no filter, log: no-filter.csv, job: wall.gcode, start: 2026-11-20 14:15}
          - {name: with filter, log: with-filter.csv, job: wall.gcode, start: auto, filter: hepa-and-carbon}
        notes:
          - {run: no filter, from: 2026-11-20 19:00, to: 2026-11-20 22:00, what: the reading circle met, leave_out: true}

        """;

    private const string Story = """
        # Does the filter help? (ABS, two afternoons)

        The repair café of the town library was lent a filter with a fan. The volunteers printed the same steady wall on two afternoons, once without it and once with it,
        with one meter on a shelf, and wrote down what they did (`notebook.yaml`). The meter writes its log in two ways, depending on which telephone fetched it.

            fumecast trial examples/filter-trial/notebook.yaml

        The library, the room and the logs are invented: `tests/Fumecast.Samples` makes them from known figures, so that what comes out can be held against them. The filter delivers
        70 m3/h there, the room loses 0.8 of its air's particles in an hour without it, and the meter can see 60 ug of what each gram of filament gives off.

        """;
}
