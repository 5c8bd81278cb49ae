using System.Text;
using XoverOpt.Search;
using XoverOpt.Workshop.Purchasing;
using XoverOpt.Workshop.Stock;

namespace XoverOpt.Workshop.Tests;

public sealed class StockImportTests : IDisposable
{
    private readonly JobDesk _desk = new();

    public StockImportTests() => _desk.Write("driverlib/odd.json", """
        [ { "format": "damper/1", "partNumber": "=<b>Odd</b>, \"1\"; ½", "maker": "Ostrel (invented)", "ohmCgs": 777, "supply": { "unitPrice": 1234.5, "currency": "EUR", "stock": 6 } },
          { "format": "damper/1", "partNumber": "-3dB pad", "ohmCgs": 778, "supply": { "unitPrice": 2, "currency": "EUR", "stock": 6, "packSize": 4, "priceBreaks": [ { "from": 10, "unitPrice": 1.75 }, { "from": 100, "unitPrice": 1.5 } ] } } ]
        """);

    public void Dispose() => _desk.Dispose();

    public static TheoryData<string> Signs => [.. SheetDialect.Names];

    [Theory]
    [MemberData(nameof(Signs))]
    public void Plan_OfAnExportAsItIs_ChangesNothing(string sign)
    {
        StockImport import = Good(Export(sign));

        Assert.Empty(import.Changes);
        Assert.Empty(import.Book.Parts);
    }

    [Theory]
    [MemberData(nameof(Signs))]
    public void Import_OfASheetWithEveryValueChanged_IsWhatTheNextExportShows(string sign)
    {
        SheetDialect dialect = SheetDialect.Named(sign)!;
        (string, object?)[] changed =
        [
            ("part", "=<b>Odd</b>, \"1\"; ½"), ("stock", 12m), ("unit price", 1234.56m), ("pack size", 3), ("lead time days", 17), ("price breaks", dialect == SheetDialect.Comma ? "10 at 1200,25 / 20 at 1200" : "10 at 1200.25 / 20 at 1200"),
        ];
        byte[] sheet = dialect.Write([[.. changed.Select(cell => cell.Item1)], [.. changed.Select(cell => cell.Item2)]]);

        Reading<StockImport> import = Desk.Import(sheet, "s.csv", null, "Anna", dryRun: false);
        Assert.Empty(import.Faults);
        Assert.Equal(["6→12", "1234.5→1234.56", "1→3", "→17", "none→10 at 1200.25 / 20 at 1200"], import.Value!.Changes.Select(change => $"{change.From}→{change.To}"));

        Supply odd = Drawer().Dampers.Single(value => value.PartNumber == "=<b>Odd</b>, \"1\"; ½").Supply!;
        Assert.Equal((12m, 1234.56m, 3, 17, 2), (odd.Stock, odd.UnitPrice, odd.PackSize, odd.LeadTimeDays, odd.PriceBreaks.Count));
        Assert.Empty(Good(Export(sign)).Changes);
    }

    [Fact]
    public void Import_DryRun_TellsTheChangesAndWritesNothing()
    {
        Reading<StockImport> import = Desk.Import("part,stock\nHI-1,7\n"u8.ToArray(), "s.csv", null, "Anna", dryRun: true);

        Assert.Equal([new StockChange("HI-1", "stock", "120", "7")], import.Value!.Changes);
        Assert.False(File.Exists(Path.Combine(_desk.Root, StockBook.FileName)));
        Assert.False(File.Exists(Path.Combine(_desk.Root, StockHistory.FileName)));
    }

    [Theory]
    [InlineData("part,stok\nHI-1,7\n", "line 1, column 2", "Did you mean \"stock\"?")]
    [InlineData("stock\n7\n", "line 1", "no heading \"part\"")]
    [InlineData("part,kind\nHI-1,x\n", "line 1", "no heading of a value that can be changed")]
    [InlineData("part,stock,stock\nHI-1,7,8\n", "line 1, column 3", "again")]
    [InlineData("part,stock\nHI-1,-7\n", "line 2, column 2 (stock)", "0 or more")]
    [InlineData("part,stock\nHI-1,1.5\n", "line 2, column 2 (stock)", "a whole number")]
    [InlineData("part,stock\nHI-1,many\n", "line 2, column 2 (stock)", "\"many\"")]
    [InlineData("part,stock\nHI-1,1e3\n", "line 2, column 2 (stock)", "a whole number")]
    [InlineData("part;stock\nT15;1.5\n", "line 2, column 2 (stock)", "decimal comma")]
    [InlineData("part;unit price\nHI-1;1.000,50\n", "line 2, column 2 (unit price)", "signs between thousands")]
    [InlineData("part,unit price\nHI-1,9,80\n", "line 2", "decimal comma parts a number in two")]
    [InlineData("part,stock\nHI-l,7\n", "line 2, column 1 (part)", "Did you mean \"HI-1\"?")]
    [InlineData("part,stock\nHI-1,7\nHI-1,8\n", "line 3, column 1 (part)", "line 2")]
    [InlineData("part,stock\n,8\n", "line 2, column 1 (part)", "nothing")]
    [InlineData("part,pack size\nHI-1,0\n", "line 2, column 2 (pack size)", "from 1")]
    [InlineData("part,lead time days\nHI-1,4000\n", "line 2, column 2 (lead time days)", "3650")]
    [InlineData("part,price breaks\nHI-1,cheap\n", "line 2, column 2 (price breaks)", "100 at 8.4 / 500 at 7.9")]
    [InlineData("part,price breaks\nHI-1,100 at 8 / 50 at 7\n", "line 2, column 2 (price breaks)", "rising quantities")]
    [InlineData("part,price breaks\nHI-1,100 at 11\n", "line 2, column 2 (price breaks)", "not above the unit price")]
    [InlineData("part,unit price\n-3dB pad,1.6\n", "line 2, column 2 (unit price)", "Change both.")]
    [InlineData("part,stock,currency\nHI-1,7,USD\n", "line 2, column 3 (currency)", "one currency")]
    [InlineData("part,stock,revision\nHI-1,7,5\n", "line 2, column 3 (revision)", "0 to 0")]
    [InlineData("part\tstock\nT15\t1.5\n", "line 1", "Say decimal point")]
    [InlineData("", "", "no row")]
    public void Import_WrongSheet_IsRefusedAtItsPlaceAndWritesNothing(string sheet, string place, string words)
    {
        Reading<StockImport> import = Desk.Import(Encoding.UTF8.GetBytes(sheet), "s.csv", null, "Anna", dryRun: false);

        Fault fault = import.Faults[0];
        Assert.Equal(place, fault.Pointer);
        Assert.Contains(words, fault.Message, StringComparison.Ordinal);
        Assert.False(File.Exists(Path.Combine(_desk.Root, StockBook.FileName)));
    }

    [Fact]
    public void Import_ManyFaults_TellsAllAndTakesNoGoodRow()
    {
        Reading<StockImport> import = Desk.Import("part,stock,unit price\nHI-2,7,9\nnobody,1,1\nHI-1,x,-2\n"u8.ToArray(), "s.csv", null, "Anna", dryRun: false);

        Assert.Equal(["line 3, column 1 (part)", "line 4, column 2 (stock)", "line 4, column 3 (unit price)"], import.Faults.Select(fault => fault.Pointer));
        Assert.Equal(120, Drawer().Receiver("HI-2")!.Supply!.Stock);
    }

    /// <summary>Two entries without a part number share 0.1 µF in this drawer only by kind and value: their name could mean either.</summary>
    [Fact]
    public void Import_NameOfTwoEntries_IsRefused()
    {
        _desk.Write("driverlib/twice.json", """{ "format": "passives/1", "kind": "resistor", "ohm": [22], "supply": { "unitPrice": 0.02, "currency": "EUR" } }""");

        Fault fault = Assert.Single(Desk.Import("part,stock\nresistor 22 Ω,5\n"u8.ToArray(), "s.csv", null, "Anna", dryRun: true).Faults);
        Assert.Contains("2 entries", fault.Found, StringComparison.Ordinal);
    }

    /// <summary>Unicode has Ω as a letter and as a sign, µ likewise; spreadsheets exchange them.</summary>
    [Fact]
    public void Import_OtherLettersForOhmAndMicro_AreTheSamePart()
    {
        StockImport import = Good(Encoding.UTF8.GetBytes("part,stock\nresistor 22 \u2126,5\ncapacitor 0.047 \u03BCF,6\n"));

        Assert.Equal(["resistor 22 Ω", "capacitor 0.047 µF"], import.Changes.Select(change => change.Part));
    }

    /// <summary>Both export, each changes another part, both read in: neither undoes what the other did.</summary>
    [Fact]
    public void Import_TwoExportsOfTheSameRevision_KeepsTheChangesOfBoth()
    {
        byte[] anna = Edited(Export("point"), "HI-1", "7"), ben = Edited(Export("point"), "HI-2", "8");

        Assert.Empty(Desk.Import(anna, "a.csv", null, "Anna", dryRun: false).Faults);
        Assert.Empty(Desk.Import(ben, "b.csv", null, "Ben", dryRun: false).Faults);

        Assert.Equal((7m, 8m), (Drawer().Receiver("HI-1")!.Supply!.Stock, Drawer().Receiver("HI-2")!.Supply!.Stock));
    }

    [Fact]
    public void Import_TwoChangesOfOneValue_TellsTheLaterWhoWasFirst()
    {
        byte[] anna = Edited(Export("point"), "HI-1", "7"), ben = Edited(Export("point"), "HI-1", "8"), same = Edited(Export("point"), "HI-1", "7");
        Assert.Empty(Desk.Import(anna, "a.csv", null, "Anna", dryRun: false).Faults);

        Fault fault = Assert.Single(Desk.Import(ben, "b.csv", null, "Ben", dryRun: false).Faults);
        Assert.Contains("Anna", fault.Hint, StringComparison.Ordinal);
        Assert.Equal(7, Drawer().Receiver("HI-1")!.Supply!.Stock);

        // Who wants what it is already asks for nothing.
        Assert.Empty(Desk.Import(same, "c.csv", null, "Cleo", dryRun: false).Value!.Changes);
    }

    private StockDesk Desk => new(_desk.Root, new ManualClock());

    private Inventory Drawer() => InventoryFile.Read(_desk.Root).Value!;

    private byte[] Export(string sign)
    {
        SheetDialect dialect = SheetDialect.Named(sign)!;
        return dialect.Write(StockSheet.Rows(Drawer(), StockBookFile.In(_desk.Root).Value!.Revision, dialect));
    }

    private static byte[] Edited(byte[] sheet, string part, string stock)
    {
        string text = Encoding.UTF8.GetString(sheet), row = text.Split("\r\n").Single(line => line.StartsWith(part + ",", StringComparison.Ordinal));
        return Encoding.UTF8.GetBytes(text.Replace(row, row.Replace(",120,", $",{stock},", StringComparison.Ordinal), StringComparison.Ordinal));
    }

    private StockImport Good(byte[] sheet)
    {
        Reading<StockImport> import = StockImport.Plan(sheet, "s.csv", null, Drawer(), StockBookFile.In(_desk.Root).Value!, []);
        Assert.Empty(import.Faults);
        return import.Value!;
    }
}
