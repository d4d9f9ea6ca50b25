// SPDX-License-Identifier: MIT
using Fumecast.Air;
using Fumecast.Forecast;
using Fumecast.Inputs;
using Fumecast.Trial;
using Fumecast.Uncertainty;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>Writes the notebook of a planned trial, ready to be filled in and handed to <c>fumecast trial</c>; and the room that options describe, as a file beside it.</summary>
public static class PlanNotebook
{
    private const string Mark = "# " + DataFile.Mark;

    /// <summary>Writes the notebook.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="plan">The plan.</param>
    /// <param name="air">What it was planned for.</param>
    /// <param name="folder">Folder that the notebook will lie in: files are named relative to it.</param>
    /// <param name="roomFile">The file of the room beside the notebook, where options describe it; null where they name one.</param>
    public static void Write(TextWriter output, PlanOutcome plan, AirOptions air, string folder, string? roomFile)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(air);
        output.Write($"""
            # The notebook of a trial of {OneLine(plan.Filter)}, as planned. At each {DataFile.Mark} give what really was, and remove the mark.
            # To check it: fumecast notebooks check FILE    To read what the logs show: fumecast trial FILE
            schema: {NotebookFile.Schema}
            room: {Quoted(roomFile ?? (AirData.Rooms.PathOf(air.Room!) is null ? air.Room! : Near(folder, air.Room!)))}
            meter: {Quoted(AirData.Meters.PathOf(air.Meters[0]) is null ? air.Meters[0] : Near(folder, air.Meters[0]))}
            meter_in: {Quoted(plan.Zone)}

            """.ReplaceLineEndings("\n"));
        if (air.Jobs.Material is { } material)
        {
            output.Write($"material: {Quoted(material)}\n");
        }

        output.Write($"""
            # How windows, doors and fans were, the same in all runs: no reading shows it.
            held: {"{"}window: shut, door: shut, room fan: none{"}"}  {Mark}
            # By how much two runs alike differ from day to day: an assumption.
            run_to_run: {Invariant($"{100 * plan.Options.RunToRun:0.##}")} %

            # Of each run: the log that the meter wrote, and when the job was started by the log's own clock (auto: found from the log, where the print shows well).
            runs:

            """.ReplaceLineEndings("\n"));
        var prints = plan.Runs.Where(static run => run.What is "base" or "remedy").ToList();
        foreach (var ((name, hasFilter), run) in PlanSteps.Prints.Zip(prints))
        {
            output.Write($"  - name: {name}\n    log: {name.Replace(' ', '-')}.csv  {Mark}\n    job: {Quoted(Near(folder, plan.Job))}\n");
            output.Write($"    start: {(plan.Options.Start is { } start ? PlanWords.Clock(start, run.StartS) : "auto")}  {Mark}\n");
            if (hasFilter)
            {
                output.Write($"    filter: {Quoted(plan.Filter)}\n");
            }
        }

        output.Write($"""

            # What happened meanwhile: people, doors, cooking. Leave out what has nothing to do with the print.
            # notes:
            #   - {"{"}run: base, from: 2026-11-20 18:05, to: 2026-11-20 18:20, what: people came in, leave_out: true{"}"}
            pairs: [[base, remedy], [base again, remedy]]

            """.ReplaceLineEndings("\n"));
    }

    /// <summary>Writes the room that options describe.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="air">The options, with a volume.</param>
    public static void WriteRoom(TextWriter output, AirOptions air)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(air);
        var (box, leak) = (air.Enclosure, air.Leak);
        output.Write($"# The room of a planned trial, as the options of fumecast plan described it. To check it: fumecast rooms check FILE\nschema: {RoomFile.Schema}\nid: trial-room\ndescription: the room of the trial\nzones:\n");
        if (box is not null)
        {
            Zone("box", box, AssumedAir.BoxDepositionPerH);
            output.Write("    enclosure: true\n");
        }

        Zone("room", air.Volume!, AssumedAir.RoomDepositionPerH);
        output.Write("air:\n");
        if (box is not null)
        {
            output.Write("  - loop: [box, room]\n    name: leaks of the box\n");
            output.Write(leak is not null ? $"    flow: {Quoted(leak)}\n" : $"    # assumed\n    changes: {Ends(AssumedAir.BoxLeakPerH)} 1/h\n    of: box\n");
        }

        output.Write("  - loop: [outdoors, room]\n    name: ventilation\n");
        output.Write(air.AirChanges is { } changes ? $"    changes: {Quoted(changes)}\n" : $"    # assumed\n    changes: {Ends(AssumedAir.RoomChangesPerH)} 1/h\n");
        output.Write("    of: room\n");

        void Zone(string id, string volume, Figure deposition) => output.Write(
            $"  {id}:\n    volume: {Quoted(volume)}\n    # assumed\n    deposition: {{particles: {Ends(deposition)} 1/h, at: {Invariant($"{AssumedAir.DepositionAtNm:0}")} nm}}\n");
    }

    private static string Ends(Figure figure) => Invariant($"{figure.At(-Figure.RangeEndZ):0.###} to {figure.At(Figure.RangeEndZ):0.###}");

    /// <summary>A file as it is named from the notebook's folder; with a folder before it, so that it is told from an id.</summary>
    private static string Near(string folder, string named)
    {
        var path = Path.GetRelativePath(folder.Length > 0 ? folder : ".", named).Replace('\\', '/');
        return path.Contains('/', StringComparison.Ordinal) ? path : "./" + path;
    }

    private static string Quoted(string text) => text.All(static sign => char.IsAsciiLetterOrDigit(sign) || sign is '-' or '_' or '/' or '.') && text.Length > 0 && char.IsAsciiLetter(text[0])
        ? text
        : $"'{OneLine(text).Replace("'", "''", StringComparison.Ordinal)}'";

    private static string OneLine(string text) => TextPage.Clean(text).ReplaceLineEndings(" ");
}
