// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>What an estimate rests on: settings that were given, read from comments, assumed, or chosen where families differ.</summary>
internal static class SettingsInForce
{
    /// <summary>Lists them, in the order in which they are shown: what overrides the file comes first.</summary>
    public static List<ResolvedSetting> List(
        EstimateOptions options, PrinterProfile printer, JobSetup setup, Attempt attempt, SimulatedPrint print, NozzleSetting? nozzle)
    {
        var settings = new List<ResolvedSetting>
        {
            new("printer", printer.Id, Printer(options.Printer)),
        };
        foreach (var tool in print.Tools)
        {
            settings.AddRange(setup.SettingsOf(tool.Tool));
        }

        if (print.RelativeEFromStart && !print.StatesEMode)
        {
            settings.Add(new ResolvedSetting("E", "relative from the start", attempt.Reason));
        }

        if (attempt.VolumetricE)
        {
            settings.Add(new ResolvedSetting("E", "counts cubic millimetres, unless an M200 changes it", "the comments say so"));
        }

        if (nozzle is not null)
        {
            settings.Add(nozzle.Resolved);
        }

        if (options.NozzleShiftK is { } shift)
        {
            settings.Add(new ResolvedSetting("shift of the nozzle temperature", string.Create(CultureInfo.InvariantCulture, $"{shift:+0.#;-0.#;0} K"), "--nozzle-shift"));
        }

        if (options.SpeedFactor != 1)
        {
            settings.Add(new ResolvedSetting("all speeds", string.Create(CultureInfo.InvariantCulture, $"{options.SpeedFactor * 100:0.##} %"), "--speed"));
        }

        if (!options.StartDose)
        {
            settings.Add(new ResolvedSetting("start dose", "left out", "--purged"));
        }

        foreach (var choice in print.Choices)
        {
            settings.Add(new ResolvedSetting(choice.Setting, choice.Value, choice.Because, choice.Line > 0 ? choice.Line : null));
        }

        return [.. settings.OrderBy(static setting => setting.Overrides is null)];
    }

    /// <summary>A copied profile may keep the id of the one it was copied from, so a file of the user's own is named.</summary>
    private static string Printer(string? given)
    {
        var file = PrinterCatalogue.PathOf(given ?? PrinterCatalogue.DefaultId);
        return given is null ? $"assumed{(file is null ? "" : ", from " + file)}; choose another with --printer"
            : file is null ? "--printer"
            : "--printer, from " + file;
    }
}
