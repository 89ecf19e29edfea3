BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE entries (
	student INTEGER NOT NULL, 
	id VARCHAR NOT NULL, 
	what VARCHAR NOT NULL, 
	day INTEGER NOT NULL, 
	at BIGINT NOT NULL, 
	zone VARCHAR NOT NULL, 
	question VARCHAR, 
	variant VARCHAR, 
	kind VARCHAR, 
	revision VARCHAR, 
	aircraft VARCHAR, 
	phraseology VARCHAR, 
	seed BIGINT, 
	given VARCHAR, 
	confidence VARCHAR, 
	hinted BOOLEAN, 
	score FLOAT, 
	"right" BOOLEAN, 
	marked_by VARCHAR, 
	seconds FLOAT, 
	voids VARCHAR, 
	CONSTRAINT pk_entries PRIMARY KEY (student, id), 
	CONSTRAINT ck_entries_what CHECK (what IN ('answer', 'void', 'flown')), 
	CONSTRAINT fk_entries_student_students FOREIGN KEY(student) REFERENCES students ("key")
)
 WITHOUT ROWID

;
INSERT INTO "entries" VALUES(1,'019e8266-3618-754f-a345-d1535ae8ae5a','answer',20605,1780304197149,'Europe/London','tailwheel/swerve-grows-ground-loop','','explain','390c59c08c8d','brackle',NULL,5126652023694614,'1 2','think',0,6.66666666666666629659e-01,0,'self',0.0,NULL);
INSERT INTO "entries" VALUES(1,'019e8266-366e-7a4b-8c7d-8e0c226f1d27','answer',20605,1780304197230,'Europe/London','tailwheel/swerve-grows-touchdown-energy','29865ec7','number','29aa80db0833','brackle',NULL,7652515583425576,'60 kt','sure',0,0.0,0,'program',0.0,NULL);
INSERT INTO "entries" VALUES(1,'019e8266-368d-7cd9-8595-a2788bca52a0','answer',20605,1780304197262,'Europe/London','tailwheel/swerve-grows-feet-off','','choice','f94d9963a2bd','brackle',NULL,2850770128805789,'a','sure',0,0.0,0,'program',0.0,NULL);
INSERT INTO "entries" VALUES(1,'019e8266-36ad-7f22-ab5b-e17443ddc07e','answer',20605,1780304197293,'Europe/London','tailwheel/swerve-grows-ground-loop','','explain','390c59c08c8d','brackle',NULL,3179480846066062,'1 2','think',0,6.66666666666666629659e-01,0,'self',0.0,NULL);
INSERT INTO "entries" VALUES(1,'019e8266-46b8-7cca-9d80-9e7cf172379c','void',20605,1780304201401,'Europe/London',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'019e8266-36ad-7f22-ab5b-e17443ddc07e');
INSERT INTO "entries" VALUES(1,'019e8266-53c1-7a8b-ae7d-448e88e15b49','flown',20605,1780304204737,'Europe/London','tailwheel/why-the-tail-leads',NULL,NULL,NULL,'brackle',NULL,NULL,'{"errors": [], "note": ""}',NULL,NULL,NULL,NULL,'self',NULL,NULL);
INSERT INTO "entries" VALUES(2,'019e829d-2d7b-7ab5-8ff7-9046afa01b3b','answer',20605,1780307799420,'Etc/UTC','tailwheel/who-may-fly-no-expiry','','explain','6db82d8b569d','brackle',NULL,162398839160484,'1 2 3','sure',0,1.0,1,'self',0.0,NULL);
INSERT INTO "entries" VALUES(2,'019e829d-2dda-7f3f-8b72-1e52523eec32','answer',20605,1780307799515,'Etc/UTC','tailwheel/who-is-talking-report-not-cleared','','choice','72d0ee6753a2','brackle',NULL,856130380745519,'b','think',0,0.0,0,'program',0.0,NULL);
INSERT INTO "entries" VALUES(2,'019e829d-2df1-7c27-a151-2b9542bbd36d','answer',20605,1780307799538,'Etc/UTC','tailwheel/who-may-fly-differences','','choice','010157ffb518','brackle',NULL,7185449515475552,'b','think',0,0.0,0,'program',0.0,NULL);
INSERT INTO "entries" VALUES(2,'019e829d-2e11-7b93-bd37-811e0bfe869e','answer',20605,1780307799570,'Etc/UTC','tailwheel/who-may-fly-three-things','','explain','27c771e5f114','brackle',NULL,1433879055124650,'1 2 3','sure',0,1.0,1,'self',0.0,NULL);
INSERT INTO "entries" VALUES(3,'019e829d-5129-7128-951b-544e0ab158b4','answer',20605,1780307808554,'Etc/UTC','tailwheel/who-may-fly-three-things','','explain','27c771e5f114','brackle',NULL,3430323433690431,'1 2 3','sure',0,1.0,1,'self',0.0,NULL);
INSERT INTO "entries" VALUES(3,'019e829d-516a-758a-890b-053ef1bea185','answer',20605,1780307808619,'Etc/UTC','tailwheel/who-may-fly-next-type','','explain','0d90fd276e51','brackle',NULL,1396764897028024,'1 2 3 4','sure',0,1.0,1,'self',0.0,NULL);
CREATE TABLE parameters (
	student INTEGER NOT NULL, 
	id VARCHAR NOT NULL, 
	at BIGINT NOT NULL, 
	answers INTEGER NOT NULL, 
	"values" VARCHAR NOT NULL, 
	CONSTRAINT pk_parameters PRIMARY KEY (student, id), 
	CONSTRAINT fk_parameters_student_students FOREIGN KEY(student) REFERENCES students ("key")
);
INSERT INTO "parameters" VALUES(1,'019c936e-3805-7000-8000-000000000005',1780000000000,500,'[]');
CREATE TABLE students (
	"key" INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	hidden BOOLEAN NOT NULL, 
	aircraft VARCHAR, 
	phraseology VARCHAR NOT NULL, 
	checkride DATE, 
	next_lesson VARCHAR, 
	next_on DATE, 
	minutes INTEGER NOT NULL, 
	target FLOAT NOT NULL, 
	zone VARCHAR, 
	entries INTEGER NOT NULL, 
	CONSTRAINT pk_students PRIMARY KEY ("key"), 
	CONSTRAINT uq_students_name UNIQUE (name)
);
INSERT INTO "students" VALUES(1,'Ada Quill',0,'brackle','uk','2026-07-01',NULL,NULL,15,0.9,'Europe/London',6);
INSERT INTO "students" VALUES(2,'Zoë Łuk',1,NULL,'uk',NULL,NULL,NULL,10,0.9,NULL,4);
INSERT INTO "students" VALUES(3,'me',0,NULL,'uk',NULL,NULL,NULL,10,0.9,NULL,2);
CREATE TRIGGER entries_are_never_changed BEFORE UPDATE ON entries
        BEGIN SELECT RAISE(ABORT, 'an entry is never changed: void it'); END;
CREATE TRIGGER entries_are_never_deleted BEFORE DELETE ON entries
        BEGIN SELECT RAISE(ABORT, 'an entry is never deleted: void it'); END;
CREATE TRIGGER entries_are_never_replaced BEFORE INSERT ON entries
        WHEN EXISTS (SELECT 1 FROM entries WHERE student = NEW.student AND id = NEW.id)
        BEGIN SELECT RAISE(ABORT, 'an entry is never replaced'); END;
COMMIT;
