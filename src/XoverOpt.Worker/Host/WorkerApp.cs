using Hangfire;
using Hangfire.AspNetCore;
using Hangfire.Dashboard;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Export;
using XoverOpt.Worker.Inbox;
using XoverOpt.Worker.Pages;
using XoverOpt.Worker.Queue;
using XoverOpt.Worker.Telemetry;
using XoverOpt.Worker.Webhooks;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Host;

/// <summary>The worker put together: store, queue, API.</summary>
internal static class WorkerApp
{
    /// <summary>Opens the store and builds the worker; starting it is left to the caller.</summary>
    /// <exception cref="StoreException">The store cannot be used.</exception>
    /// <exception cref="InvalidDataException">The settings contradict each other.</exception>
    public static WebApplication Build(WorkerSettings settings)
    {
        NoticeRule notices = new(settings);

        // Never the development environment: its error page shows the inside of the program.
        WebApplicationBuilder builder = WebApplication.CreateBuilder(new WebApplicationOptions
        {
            EnvironmentName = Environments.Production,

            // Pages are looked for in this assembly, whichever program hosts it.
            ApplicationName = typeof(WorkerApp).Assembly.GetName().Name,
            ContentRootPath = AppContext.BaseDirectory,
        });
        builder.WebHost.UseUrls([.. settings.Urls]);
        builder.WebHost.ConfigureKestrel(server => RequestLimits.Set(server, settings));
        AddLogging(builder.Logging);

        IServiceCollection services = builder.Services;
        services.Configure<HostOptions>(host => host.ShutdownTimeout = TimeSpan.FromSeconds(30));
        services.AddSingleton(settings);
        services.AddSingleton(TimeProvider.System);

        // Opened here, so that what is wrong with it is told at once; handed over by a delegate, so that the host closes it.
        var store = WorkshopStore.Open(settings.StorePath, TimeProvider.System);
        services.AddSingleton(_ => store);
        services.AddSingleton(provider => provider.GetRequiredService<WorkshopStore>().Runs);
        services.AddSingleton(provider => provider.GetRequiredService<WorkshopStore>().Events);
        services.AddSingleton(provider => provider.GetRequiredService<WorkshopStore>().Shards);
        services.AddSingleton(provider => provider.GetRequiredService<WorkshopStore>().Keys);
        services.AddSingleton(provider => provider.GetRequiredService<WorkshopStore>().Outbox);
        services.AddSingleton(provider => provider.GetRequiredService<WorkshopStore>().PartUses);
        services.AddSingleton(provider => provider.GetRequiredService<WorkshopStore>().Pause);
        services.AddSingleton(provider => provider.GetRequiredService<WorkshopStore>().News);
        services.AddSingleton<StoredBuilds>();
        services.AddSingleton<StoredRuns>();
        services.AddSingleton<KeyRing>();
        services.AddRequestLimits(settings);
        services.AddSingleton<Readiness>();
        services.AddTelemetry(settings);
        AddQueue(services, store);
        services.AddSingleton<RunArchive>();
        services.AddSingleton<JobIntake>();
        services.AddSingleton<JobRerun>();
        services.AddSingleton(notices);
        services.AddSingleton<NoticeClient>();
        services.AddHostedService<InboxWatch>();
        services.AddHostedService<NoticeSender>();
        services.AddHostedService<Sweep>();

        services.ConfigureHttpJsonOptions(json => ApiJson.Set(json.SerializerOptions));
        services.AddPages();
        services.AddApiProblems();
        services.AddOpenApi("v1", api => api.AddDocumentTransformer((document, _, _) =>
        {
            document.Info.Title = "XoverOpt worker";
            document.Info.Version = BuildFile.ProgramVersion;
            document.Info.Description = BuildFile.Caution;
            return Task.CompletedTask;
        }));

        WebApplication app = builder.Build();
        app.Use(SafeHeaders.Add);
        app.UseApiProblems();
        app.Use(Doorway.Check);
        app.Use(KeyCheck.Recognise);
        app.UseRateLimiter();
        app.Use(KeyCheck.Admit);
        app.UsePageFiles();
        app.MapOpenApi().OpenToAll();
        app.MapPrometheusScrapingEndpoint("/metrics").RequireScope(Scope.Read);
        if (settings.Dashboard)
        {
            app.MapHangfireDashboard("/queue", new DashboardOptions { Authorization = [], IsReadOnlyFunc = _ => true }, app.Services.GetRequiredService<JobStorage>())
                .RequireScope(Scope.Admin);
        }

        JobsApi.Map(app);
        BuildsApi.Map(app);
        CurvesApi.Map(app);
        LevelsApi.Map(app);
        SpreadApi.Map(app);
        PaperApi.Map(app);
        BenchApi.Map(app);
        PartsApi.Map(app);
        StockApi.Map(app);
        ExportApi.Map(app);
        RerunApi.Map(app);
        ChangesApi.Map(app);
        EventsApi.Map(app);
        WorkerApi.Map(app);
        ReceiversApi.Map(app);
        PartUsesApi.Map(app);
        SwapsApi.Map(app);
        MeasurementsApi.Map(app);
        SchemasApi.Map(app);
        HealthApi.Map(app);
        app.MapPages();
        return app;
    }

    private static void AddQueue(IServiceCollection services, WorkshopStore store)
    {
        JobStorage queue = QueueStorage.Open(store.Address);
        services.AddSingleton(_ => queue);
        services.AddSingleton<IBackgroundJobClient>(provider => new BackgroundJobClient(provider.GetRequiredService<JobStorage>()));
        services.AddSingleton<JobActivator>(provider => new AspNetCoreJobActivator(provider.GetRequiredService<IServiceScopeFactory>()));

        // What the queue's pages look for, should they be switched on.
        services.AddSingleton<IGlobalConfiguration>(GlobalConfiguration.Configuration);
        services.AddSingleton(DashboardRoutes.Routes);
        services.AddSingleton<Bell>();
        services.AddSingleton<OwnRuns>();
        services.AddTransient<RunJob>();
        services.AddHostedService<QueueServer>();
        services.AddHostedService<Reconciler>();
        services.AddHostedService<Stops>();
        if (store.Address.Connection is not null)
        {
            // Other processes may be at work on the same store.
            services.AddSingleton(provider => new RunSharing(provider.GetRequiredService<IShardExchange>(), provider.GetRequiredService<INews>()));
            services.AddHostedService<SpareHands>();
        }
    }

    private static void AddLogging(ILoggingBuilder logging)
    {
        logging.ClearProviders();
        logging.AddFilter("Microsoft.AspNetCore", LogLevel.Warning);
        if (Console.IsOutputRedirected)
        {
            logging.AddJsonConsole(console =>
            {
                console.IncludeScopes = true;
                console.UseUtcTimestamp = true;
                console.TimestampFormat = "yyyy-MM-ddTHH:mm:ss.fffZ";
            });
        }
        else
        {
            logging.AddSimpleConsole(console =>
            {
                console.SingleLine = true;
                console.TimestampFormat = "HH:mm:ss ";
            });
        }
    }
}
