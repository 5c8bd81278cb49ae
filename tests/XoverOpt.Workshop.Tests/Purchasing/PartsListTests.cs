using System.Text;
using FsCheck;
using FsCheck.Xunit;
using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop.Tests;

public class PartsListTests
{
    private static readonly DateOnly Monday = new(2031, 3, 3);

    /// <summary>Reckoned by hand: 25 sets are 50 earpieces with two receivers each.</summary>
    [Fact]
    public void Of_TwentyFiveSets_IsTheSumDoneByHand()
    {
        PartsList list = PartsList.Of(Build(count: 2), Drawer(receiverStock: 64, breakFrom: 40), new Dictionary<string, decimal> { ["R-1"] = 10 }, Order(25));

        // 100 receivers, 64 − 10 to be had, 46 short: 5 packs of 10, at the price from 40 on, 8.40.
        PartsLine receiver = list.Lines[0];
        Assert.Equal((100m, 54m, 46m, 5, 50m, 8.40m, 420.00m, 840.00m), (receiver.Need, receiver.Available, receiver.Shortage, receiver.Packs, receiver.Ordered, receiver.UnitPrice, receiver.OrderPrice, receiver.UsePrice));
        Assert.Equal((Monday.AddDays(28), true), (receiver.Arrives, receiver.HoldsUp));

        // 12.5 mm and 1 mm lost at the cut, 50 times: 0.675 m of the 2 m on the shelf; 0.675 × 3.10 = 2.0925.
        PartsLine tubing = list.Lines.Single(line => line.Kind == PartKind.Tubing);
        Assert.Equal((0.675m, 0m, 0m, 2.09m), (tubing.Need, tubing.Shortage, tubing.OrderPrice, tubing.UsePrice));
        Assert.Equal((Monday, false), (tubing.Arrives, tubing.HoldsUp));

        // 39 Ω twice in the earpiece, 100 of 2000.
        PartsLine resistor = list.Lines.Single(line => line.Kind == PartKind.Resistor);
        Assert.Equal(("resistor 39 Ω", (int?)2, 100m, (decimal?)3.00m), (resistor.Part, resistor.PiecesPerEarpiece, resistor.Need, resistor.UsePrice));

        Assert.Equal((420.00m, 845.09m, (decimal?)33.80m), (list.OrderTotal, list.UseTotal, list.CostPerSet));
        // 54 receivers to be had make 13 sets of four.
        Assert.Equal(((int?)13, (DateOnly?)Monday.AddDays(28)), (list.SetsToday, list.Complete));
    }

    [Theory]
    [InlineData(28, true)]
    [InlineData(27, false)]
    public void InTime_DayNeeded_IsThatOfTheLastPart(int days, bool inTime)
    {
        PartsList list = PartsList.Of(Build(count: 1), Drawer(receiverStock: 0), Empty, Order(1) with { NeededBy = Monday.AddDays(days) });

        Assert.Equal(inTime, list.InTime);
    }

    [Fact]
    public void Of_PartTheDrawerLacks_IsShortWithoutPriceAndHoldsTheBuildUp()
    {
        Earpiece build = Build(count: 1);
        Way way = build.Ways[0];
        PartsList list = PartsList.Of(new Earpiece([way with { DamperResistance = 1.23e8 }]), Drawer(), Empty, Order(1) with { NeededBy = Monday.AddYears(1) });

        PartsLine damper = list.Lines.Single(line => line.Kind == PartKind.Damper);
        Assert.Equal(("damper 1230 cgs Ω", null, 2m, null, true), (damper.Part, damper.Stock, damper.Shortage, damper.OrderPrice, damper.HoldsUp));
        Assert.Equal((null, null, (int?)0), (list.Complete, list.InTime, list.SetsToday));
        Assert.Equal([damper], list.Unpriced);
    }

    [Property]
    public bool Of_AnyStockAndSets_NeverNegativeAndPacksCoverTheNeed(NonNegativeInt stock, PositiveInt sets, NonNegativeInt set, PositiveInt count) =>
        PartsList.Of(Build(1 + (count.Get % 4)), Drawer(stock.Get), new Dictionary<string, decimal> { ["R-1"] = set.Get }, Order(sets.Get)) is var list
        && list.Lines.All(line =>
            line is { Available: >= 0, Shortage: >= 0, Packs: >= 0 }
            && line.Available + line.Reserved <= Math.Max(line.Stock ?? 0, line.Reserved)
            && line.Available + line.Ordered >= line.Need
            // Not a pack too many.
            && (line.Packs == 0 || line.Available + line.Ordered - line.PackSize < line.Need))
        && list.OrderTotal == list.Lines.Sum(line => line.OrderPrice)
        && decimal.Round(list.OrderTotal, 2) == list.OrderTotal
        && list.SetsToday <= sets.Get;

    private static Dictionary<string, decimal> Empty => [];

    private static PartsOrder Order(int sets) => new(sets, 2, PartsOrder.UsualCutLossMm, Monday, null);

    private static Earpiece Build(int count) => new(
    [
        new Way(
            "low", Drawer().Receiver("R-1")!.Receiver, count, Wiring.Parallel, Polarity.Normal,
            [new NetworkSection(SectionPlace.Series, Resistance: 39), new NetworkSection(SectionPlace.Shunt, Resistance: 39)],
            0,
            [new TubeSegment(Units.FromMm(12.5), Units.FromMm(1.3))]),
    ]);

    private static Inventory Drawer(int receiverStock = 64, int breakFrom = 1000)
    {
        string json = $$"""
            { "format": "job/1", "name": "x", "target": { "points": [ { "hz": 100, "db": 0 } ] }, "inventory": [
              { "format": "receiver/1", "partNumber": "R-1", "maker": "Ostrel (invented)", "electrical": { "dcResistanceOhm": 38 }, "motor": { "forceFactorNPerA": 4.2 },
                "mechanical": { "massMg": 7.0, "complianceMmPerN": 1.1, "resistanceNsPerM": 0.006 },
                "acoustical": { "diaphragmMm2": 13, "rearVolumeMm3": 220, "frontVolumeMm3": 25, "spoutLengthMm": 2.0, "spoutBoreMm": 1.4 },
                "supply": { "unitPrice": 9.80, "currency": "EUR", "stock": {{receiverStock}}, "leadTimeDays": 28, "packSize": 10,
                  "priceBreaks": [ { "from": {{breakFrom}}, "unitPrice": 8.40 } ] } },
              { "format": "damper/1", "partNumber": "D-1", "ohmCgs": 1500 },
              { "format": "tubing/1", "partNumber": "T-13", "boreMm": 1.3, "supply": { "unitPrice": 3.10, "currency": "EUR", "stock": 2, "leadTimeDays": 5 } },
              { "format": "passives/1", "kind": "resistor", "series": "E24", "minOhm": 1, "maxOhm": 100, "tolerancePercent": 1,
                "supply": { "unitPrice": 0.03, "currency": "EUR", "stock": 2000, "leadTimeDays": 5, "packSize": 100 } } ] }
            """;
        Reading<JobDocument> job = JobFile.ReadPosted(Encoding.UTF8.GetBytes(json), ".");
        Assert.Empty(job.Faults);
        return job.Value!.Inventory;
    }
}
