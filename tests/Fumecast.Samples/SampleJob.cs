// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.Samples;

/// <summary>Filament as its spool's label states it.</summary>
/// <param name="Name">Type, as in a job's comments.</param>
/// <param name="DensityGPerCm3">Density [g/cm3]. Common practice values (gcode reference, mass).</param>
/// <param name="NozzleC">Nozzle temperature [degC].</param>
/// <param name="FirstNozzleC">Nozzle temperature of the first layer [degC].</param>
/// <param name="BedC">Bed temperature [degC].</param>
/// <param name="Fan">Part fan after the first layers, 0 to 255 [-].</param>
public sealed record Spool(string Name, double DensityGPerCm3, double NozzleC, double FirstNozzleC, double BedC, int Fan);

/// <summary>An example job: a G-code file and the page that tells its story.</summary>
public sealed record SampleJob
{
    /// <summary>Folder name.</summary>
    public required string Name { get; init; }

    /// <summary>Text of the folder's README.md.</summary>
    public required string Story { get; init; }

    /// <summary>Writes the moves between start and end block.</summary>
    public required Action<Pen, GCodeText> Draw { get; init; }

    /// <summary>How filament is fed.</summary>
    public required PenSettings Pen { get; init; }

    /// <summary>The filament.</summary>
    public required Spool Spool { get; init; }

    /// <summary>Writes the claims before and after the commands; what the moves add up to is known by then.</summary>
    public required Func<JobBooks, JobClaimLines> Claims { get; init; }

    /// <summary>Lines before heating, such as limits.</summary>
    public IReadOnlyList<string> Limits { get; init; } = [];

    /// <summary>Whether the nozzle heats while the bed does, instead of after it.</summary>
    public bool HeatsTogether { get; init; } = true;

    /// <summary>Writes the whole job.</summary>
    public byte[] ToGCode()
    {
        using var bodyBytes = new MemoryStream();
        var body = new GCodeText(bodyBytes);
        var pen = new Pen(body, Pen);
        StartBlock(body, pen);
        Draw(pen, body);
        EndBlock(body, pen);
        body.Flush();

        var claims = Claims(new JobBooks(pen.DepositedMm, pen.NaiveTimeS, Pen.FilamentDiameterMm, Spool));
        using var jobBytes = new MemoryStream();
        var job = new GCodeText(jobBytes);
        foreach (var line in claims.Head)
        {
            job.Line(line);
        }

        job.Flush();
        bodyBytes.WriteTo(jobBytes);
        foreach (var line in claims.Foot)
        {
            job.Line(line);
        }

        job.Flush();
        return jobBytes.ToArray();
    }

    private void StartBlock(GCodeText text, Pen pen)
    {
        var culture = CultureInfo.InvariantCulture;
        text.Line("G21 ; millimetres").Line("G90 ; absolute positions").Line(Pen.RelativeE ? "M83 ; filament relative" : "M82 ; filament absolute");
        foreach (var line in Limits)
        {
            text.Line(line);
        }

        text.Line("M107");
        text.Line(string.Create(culture, $"M140 S{Spool.BedC} ; bed starts to warm"));
        if (HeatsTogether)
        {
            text.Line("M104 S150 ; nozzle warm, not yet dripping");
        }

        text.Line("G28 ; home").Line(string.Create(culture, $"M190 S{Spool.BedC} ; wait for the bed"));
        text.Line(string.Create(culture, $"M109 S{Spool.FirstNozzleC} ; wait for the nozzle"));
        text.Line("M117 Stay with the printer").Line("G92 E0");
        // Primes along the left edge: two strokes side by side, then a short wipe.
        pen.ToHeight(0.3);
        pen.Travel(5, 20);
        pen.Line(5, 110, 0.30, 20);
        pen.Line(5.5, 110, 0.30, 20);
        pen.Line(5.5, 40, 0.30, 20);
        pen.Retract();
        pen.StartCount();
        if (!Pen.RelativeE)
        {
            pen.ResetE();
        }
    }

    private static void EndBlock(GCodeText text, Pen pen)
    {
        pen.Retract();
        text.Line("M107").Line("M104 S0 ; nozzle off").Line("M140 S0 ; bed off");
        pen.ToHeight(pen.Z + 15);
        text.Line("G0 X10 Y190 F6000 ; present the part").Line("M84").Line("M117 Done. Let it cool with the lid shut");
    }
}

/// <summary>What a job adds up to.</summary>
/// <param name="FilamentMm">Filament after the priming line [mm].</param>
/// <param name="NaiveTimeS">Length over feed rate [s].</param>
/// <param name="DiameterMm">Filament diameter [mm].</param>
/// <param name="Spool">The filament.</param>
public sealed record JobBooks(double FilamentMm, double NaiveTimeS, double DiameterMm, Spool Spool)
{
    /// <summary>Volume [mm3].</summary>
    public double VolumeMm3 => FilamentMm * Math.PI * DiameterMm * DiameterMm / 4;

    /// <summary>Mass [g].</summary>
    public double MassG => VolumeMm3 / 1000 * Spool.DensityGPerCm3;
}

/// <summary>Comment lines before and after the commands.</summary>
/// <param name="Head">Before.</param>
/// <param name="Foot">After.</param>
public sealed record JobClaimLines(IReadOnlyList<string> Head, IReadOnlyList<string> Foot);
