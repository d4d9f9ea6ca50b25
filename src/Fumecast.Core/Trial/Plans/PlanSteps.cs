// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>The parts of a trial and the checklist that goes with them: background, base, air out, remedy, base again.</summary>
internal sealed class PlanSteps
{
    /// <summary>Base, remedy, base again: what changed with the days shows in the two bases.</summary>
    public static IReadOnlyList<(string Name, bool HasFilter)> Prints { get; } = [("base", false), ("remedy", true), ("base again", false)];

    private const double AirOutS = 30 * 60, SettleS = 15 * 60;

    private readonly List<PlannedRun> _runs = [];
    private readonly List<PlannedStep> _steps = [];
    private readonly string _job, _filter;
    private readonly double _beforeS, _jobS, _logAfterS;
    private double _nowS;

    private PlanSteps(string job, string filter, double warmUpS, double beforeS, double jobS, double logAfterS)
    {
        (_job, _filter, _beforeS, _jobS, _logAfterS) = (Path.GetFileName(job), filter, beforeS, jobS, logAfterS);
        Do($"Switch on the meter where it will stand for all runs, away from window and door and not in the stream of a fan; let it warm up for {Minutes(warmUpS)}. Set its clock by that of the printer.");
        _nowS = warmUpS;
        foreach (var (name, hasFilter) in Prints)
        {
            if (_runs.Count > 0)
            {
                AirOut(hasFilter);
            }

            Print(name, hasFilter);
        }

        Do("Write what happened into the notebook, and hand it to fumecast trial.");
    }

    /// <summary>Plans them.</summary>
    /// <param name="job">The job.</param>
    /// <param name="filter">The filter.</param>
    /// <param name="warmUpS">Time after which the meter's readings count [s].</param>
    /// <param name="beforeS">Time to log before each print [s].</param>
    /// <param name="jobS">How long the job lasts [s].</param>
    /// <param name="logAfterS">Time to log after each print [s].</param>
    public static (IReadOnlyList<PlannedRun> Runs, IReadOnlyList<PlannedStep> Steps) Of(string job, string filter, double warmUpS, double beforeS, double jobS, double logAfterS)
    {
        var plan = new PlanSteps(job, filter, warmUpS, beforeS, jobS, logAfterS);
        return (plan._runs, plan._steps);
    }

    private void Print(string name, bool hasFilter)
    {
        Do($"Background of '{name}': log for {Minutes(_beforeS)}; nobody in the room, nothing cooked, cleaned or sprayed next door{(hasFilter ? "; the filter runs already" : "")}.");
        Run("background", _beforeS);
        Do($"{char.ToUpperInvariant(name[0])}{name[1..]}: start {_job} {(hasFilter ? $"with {_filter} running" : "without the filter")}; write down the time. Leave the room, shut the door.");
        Run(hasFilter ? "remedy" : "base", _jobS + _logAfterS, _jobS);
        Do($"Save the log of '{name}'. Write down who came in, and when.");
    }

    private void AirOut(bool forFilter)
    {
        Do($"Air out: window and door wide open for {Minutes(AirOutS)}. {(forFilter ? $"Fit and switch on {_filter}, as it is to run." : "Take the filter out, and its fan off.")} Nothing else may change.");
        Run("air out", AirOutS + SettleS, AirOutS);
    }

    private void Run(string what, double durationS, double? untilS = null)
    {
        _runs.Add(new(_runs.Count + 1, what, _nowS, durationS));
        if (untilS is { } until)
        {
            _nowS += until;
            Do(what == "air out"
                ? "Shut window and door as they are to be, and let the air settle."
                : $"The print is over: leave all as it is, door shut, and log the fall for {Minutes(durationS - until)}.");
            _nowS += durationS - until;
            return;
        }

        _nowS += durationS;
    }

    private void Do(string what) => _steps.Add(new(_nowS, what));

    private static string Minutes(double seconds) => seconds < 3600
        ? FormattableString.Invariant($"{Math.Ceiling(seconds / 60):0} min")
        : FormattableString.Invariant($"{(long)Math.Ceiling(seconds / 60) / 60} h {(long)Math.Ceiling(seconds / 60) % 60:00} min");
}
