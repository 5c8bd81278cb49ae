using System.Globalization;
using System.Text;
using FsCheck;
using FsCheck.Xunit;
using XoverOpt.Acoustics;
using XoverOpt.Workshop.Purchasing;
using XoverOpt.Workshop.Stock;

namespace XoverOpt.Workshop.Tests;

public sealed class StockDeskTests : IDisposable
{
    private readonly JobDesk _desk = new();

    public void Dispose() => _desk.Dispose();

    /// <summary>Sixteen hands at once, each with a part of its own: every change is in the book and in the history, each under a number of its own.</summary>
    [Fact]
    public async Task Import_ManyAtOnce_LosesNothing()
    {
        string[] parts = [.. StockPart.Of(Drawer()).Where(part => part is { Entries: 1, Unit: "pieces" }).Take(16).Select(part => part.Part)];
        Assert.True(parts.Length > 10);

        await Task.WhenAll(parts.Select((part, k) => Task.Run(() =>
            Assert.Empty(Desk().Import(Encoding.UTF8.GetBytes($"part,stock\n{part},{k + 1000}\n"), "s.csv", null, $"hand {k}", dryRun: false).Faults))));

        Assert.Equal(
            Enumerable.Range(1000, parts.Length).Select(count => (decimal?)count),
            parts.Select(part => StockPart.Of(Drawer()).Single(known => known.Part == part).Supply!.Stock));
        IReadOnlyList<StockEvent> history = Desk().History().Value!;
        Assert.Equal(Enumerable.Range(1, parts.Length).Select(number => (long)number), history.Select(made => made.Revision));
        Assert.Equal(parts.Order(), history.Select(made => made.Changes[0].Part).Order());
    }

    [Fact]
    public void Reserve_WhatIsThere_IsNotToBeHadForOthersButForItself()
    {
        // 120 of each receiver: 2 in an earpiece are 4 in a set, so 20 sets take 80 and leave 40.
        Reservation first = Good(Desk().Reserve(Build(2), "build 1 of X", Order(20), "Anna", whatIsThere: false));
        Assert.Equal(80, first.Lines.Single(line => line.Part == "LO-1").Quantity);

        var own = PartsList.Of(Build(2), Drawer(), Order(20));
        var other = PartsList.Of(Build(1), Drawer(), Order(30));
        PartsLine kept = own.Lines.Single(line => line.Part == "LO-1"), left = other.Lines.Single(line => line.Part == "LO-1");
        Assert.Equal((0m, 80m, 120m, 0m), (kept.Reserved, kept.Kept, kept.Available, kept.Shortage));
        Assert.Equal((80m, 0m, 40m, 20m), (left.Reserved, left.Kept, left.Available, left.Shortage));
    }

    [Fact]
    public void Reserve_MoreThanThereIs_TellsEveryShortageAndSetsNothingAside()
    {
        Reading<Reservation> refused = Desk().Reserve(Build(2), "build 1 of X", Order(31), "Anna", whatIsThere: false);

        Assert.Equal(["LO-1"], refused.Faults.Select(fault => fault.Pointer));
        Assert.Contains("120 pieces to be had, 124 needed", refused.Faults[0].Message, StringComparison.Ordinal);
        Assert.Empty(Drawer().Reservations);

        Reservation partly = Good(Desk().Reserve(Build(2), "build 1 of X", Order(31), "Anna", whatIsThere: true));
        Assert.Equal(120, partly.Lines.Single(line => line.Part == "LO-1").Quantity);
    }

    [Fact]
    public void Release_Reservation_FreesItsPartsAndOfOneThatWasBuiltTakesThemOffTheShelf()
    {
        Reservation free = Good(Desk().Reserve(Build(1), "build 1 of X", Order(5), "Anna", whatIsThere: false));
        Reservation built = Good(Desk().Reserve(Build(2), "build 2 of X", Order(5), "Ben", whatIsThere: false));

        Good(Desk().Release(free.Id, "Anna", built: false));
        Good(Desk().Release(built.Id, "Ben", built: true));
        Reading<Reservation> again = Desk().Release(built.Id, "Ben", built: true);

        Assert.Empty(Drawer().Reservations);
        // 2 × 2 × 5 = 20 of 120; 10 cuts of 12.5 mm and 1 mm each are 0.135 m of 80 m.
        Assert.Equal((100m, 79.865m), (Stock("LO-1"), Stock("T15")));
        Assert.Equal((false, 0), (again.IsGood, again.Faults.Count));
        Assert.Equal(["reserve Anna", "reserve Ben", "release Anna", "built Ben"], Desk().History().Value!.Select(made => $"{made.What} {made.Who}"));
    }

    [Fact]
    public void Release_BuiltOfMoreThanIsCounted_IsRefused()
    {
        Reservation kept = Good(Desk().Reserve(Build(2), "build 1 of X", Order(20), "Anna", whatIsThere: false));
        StockImport import = Good(Desk().Import("part,stock\nLO-1,79\n"u8.ToArray(), "s.csv", null, "Ben", dryRun: false));

        Assert.Contains("80 are set aside", Assert.Single(import.Notes), StringComparison.Ordinal);
        Assert.Equal("LO-1", Assert.Single(Desk().Release(kept.Id, "Anna", built: true).Faults).Pointer);
        Assert.Single(Drawer().Reservations);
    }

    /// <summary>A process died after it wrote the history and before the book: the change never was, and its number is not given again.</summary>
    [Fact]
    public void History_LineWithoutItsBook_IsNotInForceAndTheNextChangeGoesOn()
    {
        Good(Desk().Import("part,stock\nHI-1,7\n"u8.ToArray(), "s.csv", null, "Anna", dryRun: false));
        StockHistory.Append(_desk.Root, new(2, 1, DateTimeOffset.UnixEpoch, "nobody", "import", null, [new("HI-1", "stock", "7", "1")]));
        File.AppendAllText(Path.Combine(_desk.Root, StockHistory.FileName), "{\"revision\":3,\"after\":1,\"wh");

        Good(Desk().Import("part,stock\nHI-2,9\n"u8.ToArray(), "s.csv", null, "Ben", dryRun: false));

        Assert.Equal(["1 Anna", "3 Ben"], Desk().History().Value!.Select(made => string.Create(CultureInfo.InvariantCulture, $"{made.Revision} {made.Who}")));
        Assert.Equal((7m, 9m), (Stock("HI-1"), Stock("HI-2")));
    }

    [Theory]
    [InlineData("")]
    [InlineData("  ")]
    [InlineData("An\nna")]
    public void Import_WithoutAName_IsRefused(string who) =>
        Assert.Equal("by", Assert.Single(Desk().Import("part,stock\nHI-1,7\n"u8.ToArray(), "s.csv", null, who, dryRun: false).Faults).Pointer);

    /// <summary>Any order of reservations, releases and counts: of no part is more set aside than was there, and none is below zero.</summary>
    [Property(MaxTest = 15)]
    public void Reserve_AnyOrder_NeverGivesAPartTwice(byte[] steps)
    {
        using JobDesk desk = new();
        StockDesk stock = new(desk.Root, new ManualClock());
        foreach (byte step in steps.Take(12))
        {
            IReadOnlyList<Reservation> held = InventoryFile.Read(desk.Root).Value!.Reservations;
            if (step % 3 == 0 && held.Count > 0)
            {
                Good(stock.Release(held[step % held.Count].Id, "Anna", built: step % 2 == 0));
            }
            else
            {
                stock.Reserve(Build(1 + (step % 4)), "build 1 of X", Order(1 + (step / 8)), "Anna", whatIsThere: step % 5 == 0);
            }

            Inventory drawer = InventoryFile.Read(desk.Root).Value!;
            IReadOnlyDictionary<string, decimal> reserved = Reservation.Sum(drawer.Reservations);
            Assert.All(StockPart.Of(drawer), part => Assert.True(
                part.Supply?.Stock is null or >= 0 && reserved.GetValueOrDefault(part.Part) <= (part.Supply?.Stock ?? 0), part.Part));
            Assert.All(drawer.Reservations.SelectMany(reservation => reservation.Lines), line => Assert.True(line.Quantity > 0));
        }
    }

    private StockDesk Desk() => new(_desk.Root, new ManualClock());

    private Inventory Drawer() => InventoryFile.Read(_desk.Root).Value!;

    private decimal? Stock(string part) => StockPart.Of(Drawer()).Single(known => known.Part == part).Supply!.Stock;

    private static PartsOrder Order(int sets) => new(sets, 2, PartsOrder.UsualCutLossMm, new(2031, 3, 3), null);

    private Earpiece Build(int count) => new(
    [
        new Way(
            "low", InventoryFile.Read(_desk.Root).Value!.Receiver("LO-1")!.Receiver, count, Wiring.Parallel, Polarity.Normal,
            [new NetworkSection(SectionPlace.Series, Resistance: 22)],
            0,
            [new TubeSegment(Units.FromMm(12.5), Units.FromMm(1.5))]),
    ]);

    private static T Good<T>(Reading<T> reading)
        where T : class
    {
        Assert.Empty(reading.Faults);
        return reading.Value!;
    }
}
