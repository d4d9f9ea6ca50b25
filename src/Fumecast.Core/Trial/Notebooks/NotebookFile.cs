// SPDX-License-Identifier: MIT
using Fumecast.Air;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Trial;

/// <summary>Reads notebooks.</summary>
internal static class NotebookFile
{
    public const string Schema = "fumecast/notebook/1";

    private const int MostRuns = 200;
    private static readonly string[] DateOrders = ["day-first", "month-first"];

    /// <summary>Reads one; rooms, meters, logs and jobs are named relative to its folder.</summary>
    /// <param name="path">The file.</param>
    /// <exception cref="InputProblem">It, the room or the meter cannot be used.</exception>
    public static Notebook Load(string path) => Read(DataFile.Load(path));

    /// <summary>Reads one.</summary>
    /// <param name="data">The file.</param>
    /// <exception cref="InputProblem">It, the room or the meter cannot be used.</exception>
    public static Notebook Read(DataFile data) => YamlMap.Read(data, map =>
    {
        map.Schema(Schema);
        var folder = Path.GetDirectoryName(data.Name) ?? "";
        var figures = new FigureReader(FigureReader.StatedIn(data.Name));
        var runs = map.Maps("runs").Take(MostRuns).Select(run => RunOf(run, folder, figures)).ToList();
        if (runs.Count == 0)
        {
            map.Refuse("runs", "found no runs, expected a list such as - {name: no filter, log: day1.csv, job: trial.gcode, start: 2026-11-20 14:05}");
        }

        foreach (var (run, i) in runs.Select(static (run, i) => (run, i)))
        {
            if (runs.FindIndex(other => other.Name == run.Name) < i)
            {
                map.RefuseItem("runs", i, $"found a second run named '{run.Name}', expected a name of its own");
            }
        }

        var room = map.OptionalText("room") is { } named ? AirData.Rooms.Load(Near(folder, named)) : null;
        var meterIn = map.OptionalText("meter_in");
        if (meterIn is not null && room is not null && !room.Zones.Any(zone => zone.Id == meterIn))
        {
            map.Refuse("meter_in", $"found '{meterIn}', expected a zone of the room: {string.Join(", ", room.Zones.Select(static zone => zone.Id))}");
        }

        if (room is null && runs.Exists(static run => run.Job is not null))
        {
            map.Refuse("room", "found no room, expected its id or file, since a job ran in it: emission and clean air follow from its volume");
        }

        return new Notebook
        {
            File = data.Name,
            Room = room,
            Meter = map.OptionalText("meter") is { } meter ? AirData.Meters.Load(Near(folder, meter)) : null,
            Material = map.OptionalText("material"),
            MeterIn = meterIn,
            Columns = map.OptionalMap("columns") is { } columns ? ColumnsOf(columns) : [],
            DateOrder = map.Has("date_order") ? map.Word("date_order", DateOrders, "day-first or month-first") == DateOrders[0] ? DateOrder.DayFirst : DateOrder.MonthFirst : null,
            ClockZone = map.OptionalText("zone"),
            Held = map.OptionalMap("held") is { } held ? [.. held.Keys.ToArray().Select(key => new KeyValuePair<string, string>(key, held.Text(key)))] : [],
            LossPerH = figures.Optional(map, "loss", Quantity.RatePerH, BoxModel.LeastLossPerH, BoxModel.MostLossPerH),
            EmissionDeviation = map.OptionalNumber("emission_spread", Quantity.Share, 0.001, 3) ?? 0.10,
            RunToRun = map.OptionalNumber("run_to_run", Quantity.Share, 0, 3) ?? EffectTest.UsualRunToRun,
            Runs = runs,
            Notes = [.. map.Maps("notes").Select(note => NoteOf(note, runs))],
            Pairs = PairsOf(map, runs),
        };
    });

    private static NotebookRun RunOf(YamlMap map, string folder, FigureReader figures)
    {
        var run = new NotebookRun
        {
            Name = map.Text("name"),
            Log = Beside(folder, map.Text("log")),
            Job = map.OptionalText("job") is { } job ? Beside(folder, job) : null,
            Start = map.Has("start") ? Moment(map, "start") : null,
            Filter = map.OptionalText("filter"),
            Decay = map.OptionalMap("decay") is { } decay ? (decay.Has("from") ? Moment(decay, "from") : LogMoment.Auto, decay.Has("to") ? Moment(decay, "to") : LogMoment.Auto) : null,
            VolumeM3 = figures.Optional(map, "volume", Quantity.AirVolume, RoomFile.LeastVolumeM3, RoomFile.MostVolumeM3),
            Background = BackgroundOf(map),
            At = map.PlaceOf("name"),
        };
        if (run is { Job: not null, Start: null })
        {
            map.Refuse("start", "found no start beside a job, expected a date and time such as 2026-11-20 14:05, or auto");
        }

        if (run is { Job: null, Start: not null })
        {
            map.Refuse("start", "found a start without a job, expected 'job' beside it");
        }

        if (run is { Job: not null, Decay: not null })
        {
            map.Refuse("decay", "found beside a job, expected one of them: the fall after a print is read by the fit itself");
        }

        return run;
    }

    private static double? BackgroundOf(YamlMap map)
    {
        if (map.OptionalText("background") is not { } text)
        {
            return null;
        }

        foreach (var quantity in new[] { Quantity.MassConcentration, Quantity.NumberConcentration, Quantity.Number })
        {
            if (QuantityText.TryParse(text, quantity, null, out var value, out _))
            {
                return value;
            }
        }

        map.Refuse("background", $"found '{text}', expected a level such as 0 ug/m3 or 300 1/cm3");
        return null;
    }

    private static NotebookNote NoteOf(YamlMap map, List<NotebookRun> runs)
    {
        var run = map.OptionalText("run");
        if (run is not null && !runs.Exists(one => one.Name == run))
        {
            map.Refuse("run", $"found '{run}', which is no run of this notebook{Nearest.Hint(run, [.. runs.Select(static one => one.Name)])}");
        }

        return new(run, Moment(map, "from"), Moment(map, "to"), map.Text("what"), map.OptionalFlag("leave_out") ?? false, map.PlaceOf("what"));
    }

    private static LogMoment Moment(YamlMap map, string key)
    {
        var text = map.Text(key);
        if (LogMoment.TryParse(text, out var moment, out var problem))
        {
            return moment;
        }

        map.Refuse(key, problem);
        return LogMoment.Auto;
    }

    private static List<KeyValuePair<string, string>> ColumnsOf(YamlMap map)
    {
        List<KeyValuePair<string, string>> columns = [];
        foreach (var key in map.Keys.ToArray())
        {
            if (!LogOptions.IsName(key))
            {
                map.Refuse(key, $"found '{key}', expected one of {string.Join(", ", LogOptions.ColumnNames)}");
            }

            columns.Add(new(key, map.Text(key)));
        }

        return columns;
    }

    private static List<(string Base, string Run)> PairsOf(YamlMap map, List<NotebookRun> runs)
    {
        List<(string Base, string Run)> pairs = [];
        foreach (var (pair, i) in map.TextLists("pairs").Select(static (pair, i) => (pair, i)))
        {
            if (pair.Count != 2 || pair[0] == pair[1])
            {
                map.RefuseItem("pairs", i, "found no two runs, expected a pair such as [no filter, filter A]");
                continue;
            }

            foreach (var name in pair.Where(name => !runs.Exists(run => run.Name == name)))
            {
                map.RefuseItem("pairs", i, $"found '{name}', which is no run of this notebook{Nearest.Hint(name, [.. runs.Select(static run => run.Name)])}");
            }

            pairs.Add((pair[0], pair[1]));
        }

        return pairs;
    }

    /// <summary>A file beside the notebook; what is absolute, or standard input, stays.</summary>
    private static string Beside(string folder, string named) => named == "-" || Path.IsPathRooted(named) ? named : Path.Combine(folder, named);

    /// <summary>An id, or a file beside the notebook.</summary>
    private static string Near(string folder, string named) =>
        named.EndsWith(".yaml", StringComparison.OrdinalIgnoreCase) || named.EndsWith(".yml", StringComparison.OrdinalIgnoreCase) || named.Contains('/', StringComparison.Ordinal) ? Beside(folder, named) : named;
}
