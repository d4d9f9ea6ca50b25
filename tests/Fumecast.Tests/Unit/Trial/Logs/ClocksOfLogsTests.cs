// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Trial;
using static Fumecast.Tests.Unit.Trial.Logs.SmallLog;

namespace Fumecast.Tests.Unit.Trial.Logs;

/// <summary>Times as meters write them.</summary>
public class ClocksOfLogsTests
{
    private static MeterLog Of(string header, Func<int, FormattableString> time, LogOptions? options = null, int rows = 8) =>
        Read($"{header},pm2.5\n" + Rows(rows, i => FormattableStringOf(time(i), i)), options);

    private static FormattableString FormattableStringOf(FormattableString time, int i) => $"{time.ToString(CultureInfo.InvariantCulture)},{10 + (i % 7)}";

    private static void IsEveryMinute(MeterLog log, string from)
    {
        Assert.Equal(from, log.Time.Show(log.FromS));
        Assert.Equal([0.0, 60, 120, 180, 240, 300, 360, 420], Times(log, "pm25"));
        Assert.Equal((0, 0, 0), (log.Gaps, log.BackwardSteps, log.RepeatedTimes));
    }

    [Theory]
    [InlineData("2026-11-27T14:{0:00}:00Z", "2026-11-27T14:05:00+00:00")]
    [InlineData("2026-11-27T14:{0:00}:00.123456+01:00", "2026-11-27T14:05:00.123+01:00")]
    [InlineData("2026-11-27T14:{0:00}:00-0500", "2026-11-27T14:05:00-05:00")]
    [InlineData("2026-11-27 14:{0:00}:00 UTC", "2026-11-27T14:05:00+00:00")]
    [InlineData("2026-11-27 14:{0:00}", "2026-11-27T14:05:00")]
    [InlineData("2026/11/27 14:{0:00}:00", "2026-11-27T14:05:00")]
    [InlineData("20261127T14{0:00}00", "2026-11-27T14:05:00")]
    [InlineData("20261127 14:{0:00}:00", "2026-11-27T14:05:00")]
    [InlineData("27.11.2026 14:{0:00}:00", "2026-11-27T14:05:00")]
    [InlineData("27.11.26 14:{0:00}", "2026-11-27T14:05:00")]
    [InlineData("27/11/2026 2:{0:00}:00 PM", "2026-11-27T14:05:00")]
    [InlineData("27/11/2026 12:{0:00}:00 am", "2026-11-27T00:05:00")]
    [InlineData("11/27/2026 02:{0:00} p.m.", "2026-11-27T14:05:00")]
    [InlineData("11/27/26 14:{0:00}", "2026-11-27T14:05:00")]
    [InlineData("27-Nov-2026 14:{0:00}:00", "2026-11-27T14:05:00")]
    [InlineData("Fri 27 Nov 2026 14:{0:00}:00", "2026-11-27T14:05:00")]
    [InlineData("27. novembre 2026 14:{0:00}", "2026-11-27T14:05:00")]
    [InlineData("14:{0:00}:00 27.11.2026", "2026-11-27T14:05:00")]
    [InlineData("2026年11月27日 14时{0:00}分", "2026-11-27T14:05:00")]
    [InlineData("2026年11月27日 下午2:{0:00}", "2026-11-27T14:05:00")]
    public void Dates_and_times_of_day(string pattern, string from) =>
        IsEveryMinute(Of("time", i => $"{string.Format(CultureInfo.InvariantCulture, pattern, 5 + i)}"), from);

    [Theory]
    [InlineData("1764252300", 60, 0, "2025-11-27T14:05:00+00:00")]
    [InlineData("1764252300.5", 60, 1, "2025-11-27T14:05:00.500+00:00")]
    [InlineData("1764252300250", 60_000, 0, "2025-11-27T14:05:00.250+00:00")]
    [InlineData("1764252300000000", 60_000_000, 0, "2025-11-27T14:05:00+00:00")]
    public void Counts_since_1970(string first, long step, int decimals, string from) =>
        IsEveryMinute(Of("timestamp", i => $"{(decimal.Parse(first, CultureInfo.InvariantCulture) + (step * i)).ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture)}"), from);

    [Fact] public void Days_as_spreadsheets_count_them() => Assert.Equal("2026-11-27T12:00:00", Of("Time", static i => $"{46353.5 + (i / 1440.0):0.00000000}") is var log ? log.Time.Show(log.FromS) : "");

    [Theory]
    [InlineData("seconds", 60.0)]
    [InlineData("time (s)", 60.0)]
    [InlineData("Zeit [min]", 1.0)]
    [InlineData("hours", 1 / 60.0)]
    [InlineData("elapsed ms", 60_000.0)]
    public void Times_since_the_start_keep_their_zero(string header, double step)
    {
        var log = Of(header, i => $"{(i + 2) * step:0.#############}");
        Assert.Null(log.Time.StartLocal);
        Assert.All(Times(log, "pm25").Select(static (time, i) => time - (60 * (i + 2))), static off => Assert.InRange(Math.Abs(off), 0, 1e-6));
    }

    [Fact] public void Hours_minutes_and_seconds_since_the_start() => Assert.Equal([0.0, 3600, 7200, 97200], Times(Read("elapsed,pm2.5\n00:00:00,1\n01:00:00,2\n02:00:00,3\n27:00:00,4\n"), "pm25"));

    [Fact]
    public void Small_steps_without_a_unit_are_asked_for()
    {
        Assert.Equal("-:1:1: time has steps of 0.0167 and no unit; say what it counts: --columns 'time=time[h]', or [min], or [s]", Problem("time,pm2.5\n" + Rows(8, static i => $"{i / 60.0:0.0000},{i}")));
        Assert.Equal(60.12, Read("time,pm2.5\n" + Rows(8, static i => $"{i / 60.0:0.0000},{i}"), Named("time=time[h]")).IntervalS);
    }

    [Fact]
    public void Date_and_time_of_day_in_two_columns() =>
        IsEveryMinute(Read("Datum;Uhrzeit;PM2,5\n" + Rows(8, static i => $"27.11.2026;14:{5 + i:00}:00;{10 + i},5")), "2026-11-27T14:05:00");

    [Fact]
    public void A_date_beside_a_time_of_day_in_digits_alone_or_with_points()
    {
        IsEveryMinute(Read("date,time,pm2.5\n" + Rows(8, static i => $"20261127,14{5 + i:00}00,{10 + i}")), "2026-11-27T14:05:00");
        IsEveryMinute(Read("Datum,Zeit,pm2.5\n" + Rows(8, static i => $"27.11.26,14.{5 + i:00}.00,{10 + i}")), "2026-11-27T14:05:00");
    }

    [Fact]
    public void Dates_alone_with_many_rows_for_each_ask_for_the_time_of_day() =>
        Assert.Equal("-:1:1: Datum has dates alone, and many rows for each; name the time of day too, with --columns 'time=Datum+HEADER' (the columns are Datum, pm2.5)",
            Problem("Datum,pm2.5\n" + Rows(8, static i => $"27.11.2026,{i}")));

    [Fact]
    public void A_clock_that_was_set_late_is_told() =>
        Assert.Contains("clock-set-late", Codes(Read("time,pm2.5\n" + Rows(3, static i => $"1970-01-01 00:00:0{i},0") + Rows(8, static i => $"2026-11-27 {Clock(60 * i)},{i}"))));

    [Fact]
    public void The_zone_follows_from_a_local_time_beside_a_count_since_1970()
    {
        var log = Read("Timestamp,Date,Time,PM2.5\n" + Rows(8, static i => $"{1764252300000 + (60_000 * i)},2025-11-27,15:{5 + i:00}:00,{i}"));
        IsEveryMinute(log, "2025-11-27T15:05:00+01:00");
        Assert.All(log.OtherColumns, static column => Assert.StartsWith("another time", column.Why));
    }

    [Fact]
    public void A_time_of_day_alone_goes_on_past_midnight()
    {
        var log = Of("time", static i => $"{(i < 4 ? "23:5" : "00:0")}{(i < 4 ? 6 + i : i - 4)}:30");
        Assert.Equal([86190.0, 86250, 86310, 86370, 86430, 86490, 86550, 86610], Times(log, "pm25"));
        Assert.Equal((0, "time of day without a date"), (log.BackwardSteps, log.Time.Form));
    }

    [Fact]
    public void The_order_of_day_and_month_follows_from_the_whole_column()
    {
        var text = "time,pm2.5\n" + Rows(300, static i => $"{new DateTime(2026, 8, 1).AddHours(2 * i):dd/MM/yyyy HH:mm},{i}");
        var log = Read(text);
        Assert.Equal("2026-08-01T00:00:00", log.Time.Show(log.FromS));
        Assert.Contains("first number is over 12 in line 146", log.Time.Because, StringComparison.Ordinal);
    }

    [Fact]
    public void The_order_of_day_and_month_follows_from_the_steps()
    {
        var log = Of("time", static i => $"0{1 + i}/08/2026 14:00");
        Assert.Equal(("2026-08-01T14:00:00", 86400.0), (log.Time.Show(log.FromS), log.IntervalS));
        Assert.Contains("gaps of weeks", log.Time.Because, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("time (dd/mm/yyyy),pm2.5\n", "2026-08-05T14:05:00")]
    [InlineData("time MM/DD/YYYY,pm2.5\n", "2026-05-08T14:05:00")]
    [InlineData("Date format: DD/MM/YYYY\ntime,pm2.5\n", "2026-08-05T14:05:00")]
    [InlineData("4/30/2026 to 5/31/2026\ntime,pm2.5\n", "2026-05-08T14:05:00")]
    public void The_order_of_day_and_month_follows_from_what_stands_above(string head, string from)
    {
        var log = Read(head + Rows(6, static i => $"05/08/2026 14:{5 + i:00},{i}"));
        Assert.Equal(from, log.Time.Show(log.FromS));
    }

    [Fact]
    public void The_order_of_day_and_month_is_asked_for_where_nothing_decides()
    {
        var text = "time,pm2.5\n" + Rows(6, static i => $"05/08/2026 14:{5 + i:00},{i}");
        Assert.Equal("-:2:1: found '05/08/2026 14:05', of which either number may be the day, and nothing in the log decides it; add --date-order day-first or --date-order month-first", Problem(text));
        var (day, month) = (Read(text, new LogOptions { DateOrder = DateOrder.DayFirst }), Read(text, new LogOptions { DateOrder = DateOrder.MonthFirst }));
        Assert.Equal(("2026-08-05T14:05:00", "2026-05-08T14:05:00"), (day.Time.Show(0), month.Time.Show(0)));
    }

    [Fact]
    public void An_order_that_the_log_contradicts_is_refused()
    {
        var text = "time,pm2.5\n" + Rows(6, static i => $"15/08/2026 14:{5 + i:00},{i}");
        Assert.StartsWith("-:2:1: --date-order month-first was asked for, but here the first number of the date is over 12", Problem(text, new LogOptions { DateOrder = DateOrder.MonthFirst }));
        Assert.StartsWith("-:4:1: the first number of a date is over 12 in line 2 and the second in line 4", Problem("time,pm2.5\n13/11/2026 10:00,1\n14/11/2026 10:00,2\n11/15/2026 10:00,3\n11/16/2026 10:00,4\n"));
    }

    [Theory]
    [InlineData("(UTC-05:00) Some Time (A & B)\ntime,pm2.5\n", "-05:00")]
    [InlineData("# zone: +02:00\ntime,pm2.5\n", "+02:00")]
    [InlineData("Time zone,UTC+1\ntime,pm2.5\n", "+01:00")]
    [InlineData("time (UTC),pm2.5\n", "+00:00")]
    [InlineData("time,pm2.5\n", "not stated")]
    public void The_zone_stands_above_or_in_the_header(string head, string zone) =>
        Assert.Equal(zone, Read(head + Rows(6, static i => $"2026-11-27 {Clock(i)},{i}")).Time.Zone);

    [Fact]
    public void The_zone_may_be_given()
    {
        var text = "time,pm2.5\n" + Rows(6, static i => $"2026-11-27 {Clock(i)},{i}");
        Assert.Equal("2026-11-27T14:05:00+01:00", Read(text, new LogOptions { Zone = "+01:00" }).Time.Show(0));
        Assert.StartsWith("--zone: found 'Atlantis'", Problem(text, new LogOptions { Zone = "Atlantis" }));
    }

    [Fact]
    public void The_newest_row_may_stand_first()
    {
        var log = Read("time,pm2.5\n" + Rows(8, static i => $"2026-11-27 {Clock(60 * (7 - i))},{10 + i}"));
        IsEveryMinute(log, "2026-11-27T14:05:00");
        Assert.Equal([17.0, 16, 15, 14, 13, 12, 11, 10], Values(log, "pm25"));
        Assert.Contains("newest-first", Codes(log));
    }

    [Fact]
    public void Rows_after_a_step_back_are_put_in_order_and_told()
    {
        var log = Read("time,pm2.5\n" + Rows(10, static i => $"2026-11-27 {Clock(60 * i)},{i}") + Rows(6, static i => $"2026-11-27 {Clock(210 + (60 * i))},{100 + i}"));
        Assert.Equal((1, 16), (log.BackwardSteps, log.Find("pm25")!.UsedCount));
        Assert.Equal([0.0, 60, 120, 180, 210, 240, 270, 300, 330, 360, 390, 420, 450, 480, 510, 540], Times(log, "pm25"));
        Assert.Equal([0.0, 1, 2, 3, 100, 4, 101, 5, 102, 6, 103, 7, 104, 8, 105, 9], Values(log, "pm25"));
        Assert.Contains("backward-steps", Codes(log));
    }

    [Fact]
    public void Of_two_rows_at_one_time_the_first_counts()
    {
        var log = Read("time,pm2.5,co2\n2026-11-27 14:05:00,1,\n2026-11-27 14:05:00,,400\n2026-11-27 14:06:00,2,401\n2026-11-27 14:06:00,3,402\n2026-11-27 14:07:00,4,403\n2026-11-27 14:08:00,5,404\n");
        Assert.Equal((2, 4, 1, 1), (log.RepeatedTimes, log.Find("pm25")!.UsedCount, log.Find("pm25")!.Count(ReadingState.Repeated), log.Find("pm25")!.Count(ReadingState.Missing)));
        Assert.Equal([1.0, 2, 4, 5], log.Find("pm25")!.Used().Values);
        Assert.Equal([400.0, 401, 403, 404], log.Find("co2")!.Used().Values);
    }

    [Fact]
    public void Full_minutes_are_spread_where_rows_come_more_often()
    {
        var log = Of("time", static i => $"2026-11-27 14:{5 + (((i * 5) + 20) / 60):00}", rows: 60);
        Assert.Equal(("2026-11-27T14:05:20", 5.0, 0), (log.Time.Show(log.FromS), log.IntervalS, log.RepeatedTimes));
        Assert.Equal(Enumerable.Range(0, 60).Select(static i => 5.0 * i), Times(log, "pm25"));
        Assert.Contains("times-spread", Codes(log));
    }

    [Fact]
    public void The_end_of_summer_time_leaves_no_hour_twice()
    {
        var log = Of("time", static i => $"{new DateTime(2026, 10, 25, 1, 30, 0).AddMinutes(i < 90 ? i : i - 60):yyyy-MM-dd HH:mm:ss}", rows: 180);
        Assert.Equal(Enumerable.Range(0, 180).Select(static i => 60.0 * i), Times(log, "pm25"));
        Assert.Contains(log.Diagnostics, static finding => finding.Code == "clock-change" && finding.Message.Contains("put back by an hour after 2026-10-25 02:59", StringComparison.Ordinal));
    }

    [Fact]
    public void The_beginning_of_summer_time_leaves_no_gap()
    {
        var log = Of("time", static i => $"{new DateTime(2026, 3, 29, 1, 0, 0).AddMinutes(i < 60 ? i : i + 60):yyyy-MM-dd HH:mm:ss}", rows: 180);
        Assert.Equal(Enumerable.Range(0, 180).Select(static i => 60.0 * i), Times(log, "pm25"));
        Assert.Contains("clock-change", Codes(log));
    }

    [Fact]
    public void An_hour_without_rows_on_another_day_is_a_gap()
    {
        var log = Of("time", static i => $"{new DateTime(2026, 3, 30, 1, 0, 0).AddMinutes(i < 60 ? i : i + 60):yyyy-MM-dd HH:mm:ss}", rows: 180);
        Assert.Equal((1, 3660.0), (log.Gaps, log.LongestStepS));
        Assert.DoesNotContain("clock-change", Codes(log));
    }
}
