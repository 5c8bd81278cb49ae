using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests;

public sealed class JobDefaultsTests : IDisposable
{
    private readonly JobDesk _desk = new();

    public void Dispose() => _desk.Dispose();

    [Fact]
    public void SmallestJob_TargetAndGoals_HaveTheDefaults()
    {
        Problem problem = _desk.Good(JobDesk.SmallestJob).Problem;

        Assert.Equal((20.0, 16_000.0, 2.5), (problem.Target.BandLowHz, problem.Target.BandHighHz, problem.Target.ToleranceDb));
        Assert.Equal((LevelKind.Relative, 200.0, 2000.0), (problem.Target.Level, problem.Target.LevelLowHz, problem.Target.LevelHighHz));
        Assert.Equal(1, problem.Target.Weights.At(3000));
        Assert.Equal(new PhaseGoal(PhaseKind.Excess, 20, 12_000, 10, 10e-6), problem.Phase);
        Assert.Equal(new Source(0.1, 1), problem.Source);
        Assert.Equal(new Ear(EarSimulator.RefitDamped, 0, 0.0075, null, Air.At()), problem.Ear);
        Assert.Equal(new Effort(2_000_000, null, 1, 20), problem.Effort);
        Assert.Equal(new CostWeights(1, 1, 1, 1), problem.Cost);
        Assert.Null(problem.Robust);
        Assert.Equal(new RobustRankingGoal(400, true, true, true, 1), _desk.Good(JobDesk.With("\"robust\": { }")).Problem.Robust);
        Assert.Equal(0.5e-3, problem.TubeStep);
        Assert.Equal((1, false, null), (problem.Limits.Sets, problem.Limits.StockOnly, problem.Limits.MaxReceivers));
    }

    [Fact]
    public void SmallestJob_Ways_AreLowMidHighFromTheirTags()
    {
        IReadOnlyList<WayChoice> ways = _desk.Good(JobDesk.SmallestJob).Problem.Ways;

        Assert.Equal(["low", "mid", "high"], ways.Select(way => way.Name));
        Assert.Equal(["LO-1", "MI-1", "HI-1,HI-2"], ways.Select(way => string.Join(',', way.Receivers.Select(one => one.Receiver.PartNumber))));
        Assert.Equal(["1,2", "1", "1"], ways.Select(way => string.Join(',', way.Counts)));
        Assert.Equal(
            [
                "series-resistor | series-resistor, shunt-capacitor",
                "series-resistor | series-resistor, series-capacitor",
                "series-capacitor | series-resistor, series-capacitor",
            ],
            ways.Select(way => string.Join(" | ", way.Networks)));
        Assert.All(ways, way =>
        {
            Assert.Equal([Wiring.Parallel], way.Wirings);
            Assert.Equal([Polarity.Normal, Polarity.Inverted], way.Polarities);
            Assert.Equal([0.0013, 0.0015], way.Bores.Select(bore => bore.Value));
            Assert.Equal((0.008, 0.025), (way.TubeMin, way.TubeMax));
            Assert.Equal([0, 3.3e7, 1.5e8], way.Dampers.Select(damper => damper.Value));
            Assert.Equal([null, "D03", "D15"], way.Dampers.Select(damper => damper.PartNumber));
        });
    }

    [Fact]
    public void SmallestJob_Passives_AreAllTheDrawersCheapestFirst()
    {
        PassiveStock passives = _desk.Good(JobDesk.SmallestJob).Problem.Passives;

        Assert.Equal([10, 15, 22, 33, 47, 68, 100], passives.Resistors.Select(part => part.Value));
        Assert.Equal([Units.FromMicrofarad(0.047), Units.FromMicrofarad(0.1)], passives.Capacitors.Select(part => part.Value));
        Assert.Equal(("C-CHEAP", 0.5, 20.0), (passives.Capacitors[1].PartNumber, passives.Capacitors[1].LossResistance, passives.Capacitors[1].TolerancePercent));
        Assert.Empty(passives.Coils);
    }

    [Fact]
    public void NoUsualTag_OneWideWayOfEveryReceiver()
    {
        _desk.Write("driverlib/receivers.json", $"[ {JobDesk.Receiver("A", "big")}, {JobDesk.Receiver("B", "small")} ]");

        WayChoice way = Assert.Single(_desk.Good(JobDesk.SmallestJob).Problem.Ways);

        Assert.Equal("wide", way.Name);
        Assert.Equal(2, way.Receivers.Count);
    }

    [Fact]
    public void NoCapacitorToUse_DefaultNetworksGoWithout()
    {
        IReadOnlyList<WayChoice> ways = _desk.Good(JobDesk.With("\"passives\": { \"capacitors\": \"none\" }")).Problem.Ways;

        Assert.Equal(["series-resistor", "series-resistor", "wire"], ways.Select(way => string.Join(" | ", way.Networks)));
    }

    [Fact]
    public void NarrowTargetBand_DefaultBandsAreCutToIt()
    {
        Problem problem = _desk.Good(JobDesk.SmallestJob.Replace("\"points\"", "\"bandHz\": [50, 1000], \"points\"", StringComparison.Ordinal)).Problem;

        Assert.Equal((200.0, 1000.0), (problem.Target.LevelLowHz, problem.Target.LevelHighHz));
        Assert.Equal((50.0, 1000.0), (problem.Phase.BandLowHz, problem.Phase.BandHighHz));
    }

    [Fact]
    public void StockOnly_UsesWhatServesEverySet()
    {
        // Two sets need four of each: 9 dampers and 3 or 1 capacitors are there; T13, D03 state no stock.
        Problem problem = _desk.Good(JobDesk.With("\"limits\": { \"stockOnly\": true, \"sets\": 2 }")).Problem;

        Assert.Equal([0, 1.5e8], problem.Ways[0].Dampers.Select(damper => damper.Value));
        Assert.Equal([0.0015], problem.Ways[0].Bores.Select(bore => bore.Value));
        Assert.Empty(problem.Passives.Capacitors);
        Assert.Equal(7, problem.Passives.Resistors.Count);
    }
}
