// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using Fumecast.GCode;
using Fumecast.Inputs;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>What every reading of a job has in common.</summary>
internal static class JobReading
{
    private const int CommandsBetweenChecks = 8192;

    /// <summary>Share of backward steps above which E is taken to be relative although nothing says so [-]; common practice, no source.</summary>
    /// <remarks>Relative values differ from move to move and step back about every other time; absolute ones step back only when retracting on the way.</remarks>
    private const double BackwardShareOfRelativeE = 0.35;

    /// <summary>Share of steps that lead back or nowhere above which E is taken to be relative although nothing says so [-]; common practice, no source.</summary>
    /// <remarks>Relative values of like moves, as of a round vase, are equal; absolute ones stand still only on travels that repeat their E.</remarks>
    private const double IdleShareOfRelativeE = 0.65;

    /// <summary>Carries out a job from its first command to its last, and reads the comments to the end.</summary>
    /// <remarks>Now and then, by the work done and not by the clock, it looks whether to stop, calls <paramref name="check"/> and tells the progress.</remarks>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void ReadAll(
        JobFile file, GCodeReader reader, Interpreter interpreter, DiagnosticLog log, IProgress<double>? progress, CancellationToken cancel,
        Action? check = null)
    {
        var untilCheck = CommandsBetweenChecks;
        while (reader.Read())
        {
            interpreter.Execute(reader.Command);
            if (interpreter.IsDone || log.FirstError is not null)
            {
                break;
            }

            untilCheck -= 1 + interpreter.TakeExtraWork();
            if (untilCheck <= 0)
            {
                untilCheck = CommandsBetweenChecks;
                cancel.ThrowIfCancellationRequested();
                check?.Invoke();
                progress?.Report(file.ShareRead);
            }
        }

        // A job that ends itself still has comments behind its end.
        while (log.FirstError is null && reader.Read())
        {
            cancel.ThrowIfCancellationRequested();
        }
    }

    /// <summary>Raises the first error of the log, if any, with its place.</summary>
    public static void ThrowFirstError(string job, DiagnosticLog log)
    {
        if (log.FirstError is { } error)
        {
            throw error.Line > 0
                ? new InputProblem(job, error.Line, Math.Max(1, error.Column), error.Message)
                : new InputProblem($"{job}: {error.Message}");
        }
    }

    /// <summary>Refuses a text in which not one line is a command that is known: whatever it is, it is no job, and "nothing is given off" would be an all-clear.</summary>
    public static void ThrowIfNoJob(string job, GCodeReader reader, DiagnosticLog log)
    {
        if (reader.CommandCount <= log.TimesOf("unknown-command") + log.TimesOf("unmapped-macro") + log.TimesOf("no-command"))
        {
            throw new InputProblem($"{job}: holds no known command; expected G-code: check that it is the right file");
        }
    }

    /// <summary>Refuses a job that turns the extruder by motor speed alone: how much it melts is not in the file, and "nothing" would be an all-clear.</summary>
    public static void ThrowIfFedByMotorSpeed(string job, Interpreter interpreter, SimulatedPrint print)
    {
        if (interpreter.RunsByMotorSpeed && print.Tools.Count == 0)
        {
            throw new InputProblem(
                $"{job}: the extruder runs by motor speed (M101, M108) and no filament length is given, so what is melted cannot be known; export the job with E words");
        }
    }

    /// <summary>Whether E is relative in truth, although no command says so.</summary>
    public static bool LooksRelative(SimulatedPrint print, CommentClaims claims) =>
        !print.StatesEMode && !print.RelativeEFromStart && (claims.SaysRelativeE || StepsLikeRelative(print.BackwardShareOfE, print.StandingShareOfE));

    /// <summary>Warns where a G90 undid the job's own M83 and E then steps as if it had not: read so, hardly any filament is fed.</summary>
    public static void SayIfRelativeWasUndone(SimulatedPrint print, DiagnosticLog log)
    {
        if (print.UndoneRelativeE is { EWords: > 0 } undone
            && StepsLikeRelative((double)undone.BackwardEWords / undone.EWords, (double)undone.StandingEWords / undone.EWords))
        {
            log.Report(Severity.Warning, "relative-e-undone", undone.UndoneLine, undone.UndoneColumn, FormattableString.Invariant(
                $"G90 makes E absolute again in this dialect, although M83 in line {undone.StatedLine} makes it relative; read so, {undone.BackwardEWords + undone.StandingEWords} of the {undone.EWords} printing moves with E that follow feed nothing, so that next to nothing is printed: if E is meant to stay relative, write M83 after the G90, or name a printer profile whose dialect has e_mode: independent (--printer FILE; a start: fumecast printers template)"),
                changesResult: true);
        }
    }

    /// <summary>Warns where a job ends in the middle of printing, as a file does that was not written or sent whole.</summary>
    public static void SayIfCutOff(SimulatedPrint print, GCodeReader reader, DiagnosticLog log)
    {
        if (print.EndsWhilePrinting)
        {
            log.Report(Severity.Warning, ForecastFindings.CutOff, reader.LineCount, 1,
                "the job ends while it prints: the nozzle stays hot, and nothing that ends a job follows; cut off? Check that the file is whole",
                changesResult: true);
        }
    }

    private static bool StepsLikeRelative(double backwardShare, double standingShare) =>
        backwardShare > BackwardShareOfRelativeE || backwardShare + standingShare > IdleShareOfRelativeE;
}
