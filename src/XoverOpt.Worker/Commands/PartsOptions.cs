using System.CommandLine;
using XoverOpt.Worker.Analyses;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Worker.Commands;

/// <summary>The options by which parts are asked for.</summary>
internal sealed class PartsOptions
{
    private readonly Option<int?> _sets = new("--sets") { Description = "How many sets; as many as the job asks for if left out.", HelpName = "N" };
    private readonly Option<string?> _by = new("--by") { Description = "The day by which every part must be there.", HelpName = "DATE" };
    private readonly Option<string?> _on = new("--order-on") { Description = "The day on which the order goes out; today if left out.", HelpName = "DATE" };
    private readonly Option<int?> _perSet = new("--earpieces-per-set") { Description = "As the job says, or 2, a left and a right, if left out.", HelpName = "N" };
    private readonly Option<decimal> _loss = new("--cut-loss-mm") { Description = "Tubing lost at each cut, mm.", HelpName = "MM", DefaultValueFactory = _ => PartsOrder.UsualCutLossMm };

    public PartsOptions()
    {
        _sets.Allow(sets => sets is null or (>= 1 and <= BenchPlanFile.MostSets), PartsQuestion.SetsWords);
        _by.Allow(day => day is null || BenchPlanFile.Day(day) is not null, PartsQuestion.DayWords);
        _on.Allow(day => day is null || BenchPlanFile.Day(day) is not null, PartsQuestion.DayWords);
        _perSet.Allow(count => count is null or (>= 1 and <= 16), "a whole number from 1 to 16");
        _loss.Allow(mm => mm is >= 0 and <= 100, "a number from 0 to 100");
    }

    /// <summary>Those that count parts.</summary>
    public Option[] Counting => [_sets, _perSet, _loss];

    /// <summary>Those that date them.</summary>
    public Option[] Dating => [_by, _on];

    /// <summary>What was asked.</summary>
    public PartsQuestion Question(ParseResult parsed) => new(
        parsed.GetValue(_sets), BenchPlanFile.Day(Given(parsed, _by)), BenchPlanFile.Day(Given(parsed, _on)), parsed.GetValue(_perSet), parsed.GetValue(_loss));

    // Not every command has every option.
    private static string? Given(ParseResult parsed, Option<string?> option) => parsed.GetResult(option) is null ? null : parsed.GetValue(option);
}
